/** The container size that the jars of {@link oldJarList} are in, as it is made under Farm. */
export const BAG = { name: 'Bag', volumeMl: 2000, container: 'bag', carrier: 'sawdust' };

/** A list of jars of five lots, four to a lot; each lot's states are told by how many it has of which. */
export function oldJarList(states: (lot: number, jar: number) => string, columns: Record<string, string> = {}): Buffer {
  const rows = [1, 2, 3, 4, 5].flatMap((lot) =>
    [1, 2, 3, 4].map((jar) => {
      const state = states(lot, jar);
      const gone = state === 'ripe' ? '' : `2026-10-1${jar}`;
      return [`L${lot}-${jar}`, `L${lot}`, 'BO1', 1, 'Bag', state, `2026-09-0${lot}`, gone, ...Object.values(columns)];
    }),
  );
  const heading = ['Code', 'Lot', 'Strain', 'Gen', 'Size', 'State', 'Made on', 'Gone on', ...Object.keys(columns)];
  return Buffer.from([heading, ...rows].map((row) => row.join(',')).join('\n'));
}

/** States of a list that tells both of spoiled jars and of used ones: the farm's own losses can be learned from it. */
export const someSpoiled = (lot: number, jar: number) =>
  jar === 1 && lot > 2 ? 'contaminated' : jar < 4 ? 'used up' : 'ripe';
