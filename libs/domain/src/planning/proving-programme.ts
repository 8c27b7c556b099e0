import type { LinearProgramme } from './linear-programme.js';
import type { Opening, SpawnModel, StartVariable } from './spawn-model.js';

/**
 * The same programme, put so that branch and bound gets through it: which of several alike batches a container is opened
 * from is left to the flow, and only how many of a pool are opened on a day must be whole; and the links "nothing is
 * started without a cycle" and "nothing is started without an opened mother" are stated tightly where few containers can
 * be meant. Every whole solution of the one is a whole solution of the other.
 */
export function provingProgramme(model: SpawnModel): LinearProgramme {
  const { programme } = model;
  const whole = Uint8Array.from(programme.whole);
  const totals = openingTotals(model);
  for (const { columns } of totals) for (const column of columns) whole[column] = 0;
  const totalOf = new Map(totals.map((total, place) => [total.key, programme.columns + place]));
  const rows = [
    ...totals.map(({ columns }, place): ExtraRow => {
      const terms = columns.map((column) => [column, 1] as const);
      return { lower: 0, upper: 0, terms: [...terms, [programme.columns + place, -1]] };
    }),
    ...cycleLinks(model),
    ...motherLinks(model, totalOf),
  ];
  return extend(programme, whole, totals.length, rows);
}

interface ExtraRow {
  readonly lower: number;
  readonly upper: number;
  readonly terms: readonly (readonly [number, number])[];
}

interface OpeningTotal {
  readonly key: string;
  readonly columns: readonly number[];
}

/** Openings of a pool on a day into a bucket, from whichever batch. */
function openingTotals({ pools }: SpawnModel): OpeningTotal[] {
  const totals = new Map<string, number[]>();
  for (const pool of pools) {
    for (const opening of pool.openings) {
      if (opening.cold) continue;
      const key = totalKey(pool.index, opening);
      totals.set(key, [...(totals.get(key) ?? []), opening.column]);
    }
  }
  return [...totals].map(([key, columns]) => ({ key, columns }));
}

function totalKey(pool: number, opening: Opening): string {
  return `${pool}|${opening.day}|${opening.bucket}`;
}

/** starts ≤ (what can be meant at most) × cycles. */
function cycleLinks({ starts, cycles, situation }: SpawnModel): ExtraRow[] {
  return starts.flatMap((start) => {
    const { perCycle } = situation.sizes[start.size]!;
    const cycle = cycles[start.slot.index]!;
    if (!Number.isFinite(perCycle) || start.most >= perCycle) return [];
    return [linked(start, [cycle.column])];
  });
}

/** starts ≤ (what can be meant at most) × mothers that stand open on the day. */
function motherLinks(model: SpawnModel, totalOf: ReadonlyMap<string, number>): ExtraRow[] {
  const openings = openingsByBucket(model, totalOf);
  return model.starts.flatMap((start) => {
    if (start.generation < 2) return [];
    const columns = new Set<number>();
    let largest = 0;
    for (const bucket of model.buckets) {
      const isMother = bucket.strain === start.strain && bucket.generation === start.generation - 1;
      if (!isMother || bucket.day > start.slot.day || bucket.until < start.slot.day) continue;
      if (bucket.openedStock.length > 0) return [];
      for (const { column, gramsEach } of openings.get(bucket.index) ?? []) {
        columns.add(column);
        largest = Math.max(largest, gramsEach);
      }
    }
    return start.most * start.inoculumGramsEach < largest ? [linked(start, [...columns])] : [];
  });
}

function linked(start: StartVariable, enablers: readonly number[]): ExtraRow {
  const terms = enablers.map((column) => [column, -start.most] as const);
  return { lower: Number.NEGATIVE_INFINITY, upper: 0, terms: [[start.column, 1], ...terms] };
}

function openingsByBucket(
  { pools }: SpawnModel,
  totalOf: ReadonlyMap<string, number>,
): Map<number, { readonly column: number; readonly gramsEach: number }[]> {
  const byBucket = new Map<number, { column: number; gramsEach: number }[]>();
  for (const pool of pools) {
    for (const opening of pool.openings) {
      const column = opening.cold ? opening.column : totalOf.get(totalKey(pool.index, opening))!;
      const known = byBucket.get(opening.bucket) ?? [];
      known.push({ column, gramsEach: pool.gramsEach });
      byBucket.set(opening.bucket, known);
    }
  }
  return byBucket;
}

function extend(
  programme: LinearProgramme,
  whole: Uint8Array,
  added: number,
  rows: readonly ExtraRow[],
): LinearProgramme {
  const more = new Float64Array(added);
  const terms = rows.flatMap((row) => row.terms);
  const rowStart = Int32Array.from([...programme.rowStart, ...rows.map(() => 0)]);
  rows.forEach((row, place) => {
    rowStart[programme.rows + place + 1] = rowStart[programme.rows + place]! + row.terms.length;
  });
  return {
    columns: programme.columns + added,
    rows: programme.rows + rows.length,
    cost: join(programme.cost, more),
    lower: join(programme.lower, more),
    upper: join(programme.upper, more.slice().fill(Number.POSITIVE_INFINITY)),
    whole: Uint8Array.from([...whole, ...new Array<number>(added).fill(1)]),
    rowLower: join(
      programme.rowLower,
      rows.map((row) => row.lower),
    ),
    rowUpper: join(
      programme.rowUpper,
      rows.map((row) => row.upper),
    ),
    rowStart,
    index: Int32Array.from([...programme.index, ...terms.map(([column]) => column)]),
    value: join(
      programme.value,
      terms.map(([, coefficient]) => coefficient),
    ),
  };
}

function join(one: Float64Array, other: ArrayLike<number>): Float64Array {
  const joined = new Float64Array(one.length + other.length);
  joined.set(one);
  joined.set(other, one.length);
  return joined;
}

/** A solution of the programme as one of the proving programme, to start from. */
export function provingStart(model: SpawnModel, values: Float64Array): Float64Array {
  const totals = openingTotals(model).map(({ columns }) => columns.reduce((sum, column) => sum + values[column]!, 0));
  return join(values, totals);
}
