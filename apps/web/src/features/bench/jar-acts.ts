import type { CalendarDay, DiscardReason, DrawAmount, FindingKind, Jar, ShelfPlace } from '@jarfold/domain';
import type { MessageKey } from '../../messages/translate.js';
import type { BenchAction, FarmFacts, LocalFarm } from '../../offline/index.js';
import type { Hazard } from '../../ui/Caution.js';
import { placesFor } from './shelf-places.js';

/** What can be done to jars that are chosen, one word of the address each. */
export const JAR_ACTS = [
  'shake',
  'move',
  'chill',
  'warm',
  'keep',
  'release',
  'discard',
  'empty',
  'break',
  'find',
  'regrow',
] as const;
export type JarAct = (typeof JAR_ACTS)[number];

/** What an act asks beyond the jars. */
export interface ActValues {
  readonly shelfId: string | null;
  readonly reason: DiscardReason | null;
  readonly finding: FindingKind | null;
  readonly sure: boolean;
  readonly days: number;
  readonly regrew: boolean | null;
}

export interface ActSpec {
  readonly title: MessageKey;
  /** `Chill {count} jars`. */
  readonly doing: MessageKey;
  readonly asks: readonly ('shelf' | 'reason' | 'finding' | 'regrowth')[];
  readonly hazards: readonly Hazard[];
  readonly fits: (jar: Jar) => boolean;
  /** Null: something is still missing. */
  readonly action: (jars: readonly Jar[], values: ActValues, world: ActWorld) => BenchAction | null;
}

export interface ActWorld {
  readonly farm: FarmFacts;
  readonly view: LocalFarm;
  readonly today: CalendarDay;
}

const always = () => true;
const ids = (jars: readonly Jar[]) => jars.map(({ id }) => id);

export const ACTS: Readonly<Record<JarAct, ActSpec>> = {
  shake: {
    title: 'command.shake',
    doing: 'bench.do.shake',
    asks: [],
    hazards: [],
    fits: always,
    action: (jars) => ({ kind: 'shaken', payload: { jarIds: ids(jars) } }),
  },
  move: {
    title: 'command.move',
    doing: 'bench.do.move',
    asks: ['shelf'],
    hazards: [],
    fits: always,
    action: (jars, { shelfId }, world) => moved(jars, shelfId, world),
  },
  chill: {
    title: 'command.chill',
    doing: 'bench.do.chill',
    asks: ['shelf'],
    hazards: [],
    fits: ({ chilledOn }) => chilledOn === null,
    action: (jars, values) => ({ kind: 'chilled', payload: { jarIds: ids(jars), ...onShelf(values) } }),
  },
  warm: {
    title: 'command.warm',
    doing: 'bench.do.warm',
    asks: ['shelf'],
    hazards: [],
    fits: ({ chilledOn }) => chilledOn !== null,
    action: (jars, values) => ({ kind: 'warmed', payload: { jarIds: ids(jars), ...onShelf(values) } }),
  },
  keep: {
    title: 'command.keepAsMother',
    doing: 'bench.do.keep',
    asks: [],
    hazards: [],
    fits: ({ keptAsMother, blank }) => !keptAsMother && !blank,
    action: (jars) => ({ kind: 'mother_kept', payload: { jarIds: ids(jars) } }),
  },
  release: {
    title: 'command.releaseMother',
    doing: 'bench.do.release',
    asks: [],
    hazards: [],
    fits: ({ keptAsMother }) => keptAsMother,
    action: (jars) => ({ kind: 'mother_released', payload: { jarIds: ids(jars) } }),
  },
  discard: {
    title: 'command.discard',
    doing: 'bench.do.discard',
    asks: ['reason'],
    hazards: ['mould'],
    fits: always,
    action: (jars, { reason }) => (reason ? { kind: 'discarded', payload: { jarIds: ids(jars), reason } } : null),
  },
  empty: {
    title: 'command.empty',
    doing: 'bench.do.empty',
    asks: [],
    hazards: [],
    fits: always,
    action: (jars) => ({ kind: 'emptied', payload: { jarIds: ids(jars) } }),
  },
  break: {
    title: 'command.broken',
    doing: 'bench.do.break',
    asks: [],
    hazards: [],
    fits: always,
    action: (jars) => ({ kind: 'broken', payload: { jarIds: ids(jars) } }),
  },
  find: {
    title: 'command.finding',
    doing: 'bench.do.find',
    asks: ['finding'],
    hazards: ['mould'],
    fits: always,
    action: (jars, { finding, sure }) =>
      finding ? { kind: 'contamination_found', payload: { jarIds: ids(jars), finding, sure } } : null,
  },
  regrow: {
    title: 'command.regrowth',
    doing: 'bench.do.regrow',
    asks: ['regrowth'],
    hazards: [],
    fits: ({ blank }) => !blank,
    action: ([jar, ...more], { days, regrew }) =>
      jar && more.length === 0 && regrew !== null
        ? { kind: 'regrowth_tested', payload: { jarId: jar.id, days, regrew } }
        : null,
  },
};

function onShelf({ shelfId }: ActValues): { readonly place?: ShelfPlace } {
  return shelfId === null ? {} : { place: { shelfId } };
}

/** Jars that stand on the shelf already count as places taken. */
function moved(jars: readonly Jar[], shelfId: string | null, { farm, view }: ActWorld): BenchAction | null {
  const shelf = farm.shelves.find(({ id }) => id === shelfId);
  if (!shelf) return null;
  const places = placesFor(shelf, view.jarsOnShelf(shelf.id), jars.length);
  const moves = jars.flatMap(({ id }, at) => (places[at] ? [{ jarId: id, place: places[at] }] : []));
  return { kind: 'moved', payload: { moves } };
}

/** Shelves an act would use first: cold ones to chill, the others to warm, with the most free places in front. */
export function shelvesFor(
  act: JarAct,
  { farm, view }: ActWorld,
): readonly { readonly shelf: FarmFacts['shelves'][number]; readonly free: number }[] {
  const kindOf = (roomId: string) => farm.rooms.find(({ id }) => id === roomId)?.kind;
  const wanted = (roomId: string) =>
    act === 'chill' ? kindOf(roomId) === 'cold' : act === 'warm' ? kindOf(roomId) !== 'cold' : true;
  return farm.shelves
    .filter(({ archived, roomId }) => !archived && wanted(roomId))
    .map((shelf) => ({ shelf, free: shelf.rows * shelf.placesPerRow - view.countOnShelf(shelf.id) }))
    .sort((a, b) => b.free - a.free);
}

/** What is taken of a jar, in words a gloved person can tap. */
export const AMOUNTS = ['all', 'all_but_bottom', 'half'] as const satisfies readonly DrawAmount['by'][];
