import type { Carrier, ContainerForm, DiscardReason, EntryKind, EntryPayloads } from '../../bench/index.js';
import type { CalendarDay } from '../../calendar/calendar-day.js';
import type { LotToBring, SettledFile } from './settle-file.js';
import type { SheetState, WordMeaning } from './sheet-mapping.js';

/** Something that happened on the farm before it used Jarfold, ready for the bench log. */
export type BroughtEntry = {
  [K in EntryKind]: {
    readonly id: string;
    readonly kind: K;
    readonly payload: EntryPayloads[K];
    readonly day: CalendarDay;
  };
}[EntryKind];

/** Where words have become things of the farm. */
export interface BroughtIds {
  /** The id of a strain, size, shelf or run of the farm, new ones included. */
  readonly of: (meaning: WordMeaning) => string;
  /** What a size is, and what is in it. */
  readonly formOf: (size: WordMeaning) => { readonly container: ContainerForm; readonly carrier: Carrier };
  /** An id that follows from its parts: the same file brought by the same import has the same ids. */
  readonly make: (...parts: readonly (string | number)[]) => string;
}

const MOST_JARS = 500;
const REASONS: Readonly<Partial<Record<SheetState, DiscardReason>>> = {
  contaminated: 'contaminated',
  discarded: 'other',
  'aged-out': 'aged_out',
};

/**
 * The entries of a file in the order in which they happened: each lot as received on the day it was made, for it was here
 * before the log began; then what became of its jars, gathered so that one entry tells of many; then harvests.
 */
export function broughtEntries(
  { lots, harvests }: Pick<SettledFile, 'lots' | 'harvests'>,
  ids: BroughtIds,
  today: CalendarDay,
): readonly BroughtEntry[] {
  const jars = lots.flatMap((lot, at) => lot.jars.map((jar, number) => ({ ...jar, id: ids.make('jar', at, number) })));
  const idsOf = (keep: (jar: (typeof jars)[number]) => string | null) => grouped(jars, keep);
  const gone = (states: readonly SheetState[]) =>
    idsOf(({ record }) => (states.includes(record.state) ? record.goneOn : null));
  const entries = [
    ...lots.map((lot, at) => received(lot, at, ids)),
    ...idsOf(({ record }) => record.openedOn).map(([day, jarIds]) => make('opened', day, { jarIds })),
    ...gone(['contaminated']).map(([day, jarIds]) =>
      make('contamination_found', day, { jarIds, finding: 'unknown', sure: false }),
    ),
    ...drawnForRuns(jars, ids),
    ...idsOf(({ record }) => (record.state === 'used-up' && record.usedIn === null ? record.goneOn : null)).map(
      ([day, jarIds]) => make('emptied', day, { jarIds }),
    ),
    ...gone(['broken']).map(([day, jarIds]) => make('broken', day, { jarIds })),
    ...(['contaminated', 'discarded', 'aged-out'] as const).flatMap((state) =>
      gone([state]).map(([day, jarIds]) => make('discarded', day, { jarIds, reason: REASONS[state]! })),
    ),
    ...idsOf(({ record }) => record.note).map(([text, jarIds]) => make('noted', today, { text, jarIds })),
    ...harvests.map(({ run, day, massG, flush }) => make('harvested', day, { runId: ids.of(run), flush, massG })),
  ];
  const inOrder = entries
    .map((entry, at) => ({ entry, at }))
    .sort((a, b) => (a.entry.day === b.entry.day ? a.at - b.at : a.entry.day < b.entry.day ? -1 : 1));
  return inOrder.map(({ entry }, at) => ({ ...entry, id: ids.make('entry', at) }) as BroughtEntry);
}

/** Spawn that went into a run: all that was in its jars, on the day they were used up. */
function drawnForRuns(jars: readonly (LotToBring['jars'][number] & { readonly id: string })[], ids: BroughtIds) {
  const drawn = jars.filter(({ record }) => record.state === 'used-up' && record.usedIn !== null);
  const keyed = grouped(drawn, ({ record }) => `${record.goneOn} ${ids.of(record.usedIn!)}`);
  return keyed.map(([key, jarIds]) => {
    const [day = '', runId = ''] = key.split(' ');
    const draws = jarIds.map((jarId) => ({ jarId, amount: { by: 'all' } as const }));
    return make('drawn_for_run', day, { runId, draws });
  });
}

function make<K extends EntryKind>(kind: K, day: string, payload: EntryPayloads[K]) {
  return { kind, day: day as CalendarDay, payload };
}

function received({ code, jars }: LotToBring, at: number, ids: BroughtIds) {
  const { strain, size, generation, madeOn, supplier } = jars[0]!.record;
  return make('received', madeOn, {
    lotId: ids.make('lot', at),
    ...(code === null ? {} : { code }),
    strainId: ids.of(strain),
    sizeId: ids.of(size),
    generation,
    ...ids.formOf(size),
    ...(supplier === null ? {} : { supplier }),
    madeOn,
    jars: jars.map(({ record, code: jarCode }, number) => ({
      id: ids.make('jar', at, number),
      ...(jarCode === null ? {} : { code: jarCode }),
      ...(record.gramsLeft === null ? {} : { massG: record.gramsLeft }),
      ...(record.place === null ? {} : { place: { shelfId: ids.of(record.place) } }),
      ripeOn: record.ripeOn,
      ...(record.chilledOn === null ? {} : { chilledOn: record.chilledOn }),
    })),
  });
}

/** Ids of the jars with the same key, at most so many at once; jars without a key are left out. */
function grouped<T extends { readonly id: string }>(
  jars: readonly T[],
  keyOf: (jar: T) => string | null,
): readonly (readonly [string, readonly string[]])[] {
  const groups = new Map<string, string[]>();
  for (const jar of jars) {
    const key = keyOf(jar);
    if (key === null) continue;
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [jar.id]);
    else group.push(jar.id);
  }
  return [...groups].flatMap(([key, ids]) =>
    Array.from(
      { length: Math.ceil(ids.length / MOST_JARS) },
      (_, at) => [key, ids.slice(at * MOST_JARS, (at + 1) * MOST_JARS)] as const,
    ),
  );
}
