import type { Jar, SeededRandom } from '@jarfold/domain';
import type { BenchAction, LocalFarm } from '../../apps/web/src/offline/index.js';

/** What hands may reach for. */
export interface AtHand {
  readonly strainId: string;
  readonly sizeId: string;
  readonly shelfId: string;
  readonly runId: string;
}

type Draft = (farm: AtHand, jars: readonly Jar[], random: SeededRandom, uuid: () => string) => BenchAction | null;

const pick = <T>(things: readonly T[], random: SeededRandom): T | undefined => things[random.whole(things.length)];
const some = (jars: readonly Jar[], random: SeededRandom, most: number): string[] => {
  const from = random.whole(Math.max(1, jars.length));
  return jars.slice(from, from + 1 + random.whole(most)).map(({ id }) => id);
};
const grams = (jar: Jar, random: SeededRandom) => Math.min(jar.leftG, 5 + random.whole(120));

const received: Draft = ({ strainId, sizeId }, _jars, random, uuid) => ({
  kind: 'received',
  payload: {
    ...{ lotId: uuid(), strainId, sizeId, generation: 1, container: 'jar', carrier: 'grain' },
    jars: Array.from({ length: 1 + random.whole(4) }, () => ({ id: uuid() })),
  },
});

const inoculated: Draft = ({ strainId, sizeId }, jars, random, uuid) => {
  const mother = pick(jars, random);
  if (!mother || mother.leftG < 1) return null;
  return {
    kind: 'inoculated',
    payload: {
      ...{ lotId: uuid(), strainId, sizeId },
      mothers: [{ jarId: mother.id, amount: { by: 'grams', massG: grams(mother, random) } }],
      jars: Array.from({ length: 1 + random.whole(5) }, () => ({ id: uuid() })),
    },
  };
};

const drawn: Draft = ({ runId }, jars, random) => {
  const jar = pick(jars, random);
  if (!jar || jar.leftG < 1) return null;
  const amount = pick(
    [
      { by: 'half' },
      { by: 'all' },
      { by: 'grams', massG: grams(jar, random) },
      { by: 'grams', massG: jar.leftG },
    ] as const,
    random,
  );
  return amount ? { kind: 'drawn_for_run', payload: { runId, draws: [{ jarId: jar.id, amount }] } } : null;
};

const onJars =
  (build: (jarIds: readonly string[], random: SeededRandom) => BenchAction, most = 4): Draft =>
  (_farm, jars, random) => {
    const ids = some(jars, random, most);
    return ids.length === 0 ? null : build(ids, random);
  };

/** Kinds of work by how often hands do them; draws are frequent, so that tablets clash over the same jars. */
const WORK: readonly (readonly [number, Draft])[] = [
  [2, received],
  [3, inoculated],
  [6, drawn],
  [
    3,
    onJars((jarIds, random) => ({
      kind: 'checked',
      payload: {
        jars: jarIds.map((jarId) => ({ jarId, colonisedShare: random.whole(101) / 100, ripe: random.whole(2) === 1 })),
      },
    })),
  ],
  [1, onJars((jarIds) => ({ kind: 'shaken', payload: { jarIds } }))],
  [1, onJars((jarIds) => ({ kind: 'chilled', payload: { jarIds } }))],
  [1, onJars((jarIds) => ({ kind: 'warmed', payload: { jarIds } }))],
  [1, onJars((jarIds) => ({ kind: 'mother_kept', payload: { jarIds } }))],
  [1, onJars((jarIds) => ({ kind: 'discarded', payload: { jarIds, reason: 'surplus' } }), 1)],
  [1, onJars((jarIds) => ({ kind: 'contamination_found', payload: { jarIds, finding: 'cobweb', sure: true } }), 1)],
  [
    1,
    (farm, jars, random) => {
      const jar = pick(jars, random);
      const place = { shelfId: farm.shelfId, row: 1 + random.whole(5), place: 1 + random.whole(20) };
      return jar ? { kind: 'moved', payload: { moves: [{ jarId: jar.id, place }] } } : null;
    },
  ],
  [
    1,
    ({ runId }, _jars, random) => ({ kind: 'harvested', payload: { runId, flush: 1, massG: 100 + random.whole(900) } }),
  ],
  [1, (_farm, _jars, random) => ({ kind: 'noted', payload: { text: `note ${random.whole(1_000_000)}` } })],
];
const TOTAL = WORK.reduce((sum, [weight]) => sum + weight, 0);

/** Something a person could do with what this tablet shows; null when the one drawn finds nothing to work on. */
export function nextAction(
  farm: AtHand,
  view: LocalFarm,
  random: SeededRandom,
  uuid: () => string,
): BenchAction | null {
  const jars = [...view.all('jar')].filter(({ goneAs }) => goneAs === null).sort((a, b) => (a.id < b.id ? -1 : 1));
  let drawnWeight = random.whole(TOTAL);
  for (const [weight, draft] of WORK) {
    if (drawnWeight < weight) return draft(farm, jars, random, uuid);
    drawnWeight -= weight;
  }
  return null;
}
