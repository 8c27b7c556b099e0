import { requireThat } from '../../errors.js';
import { requireCount } from '../../statistics/estimate.js';

/** What may have made a lot bad: factor name (strain, mother, grain batch, …) to level (OY3, batch 12, …); null: not known. */
export type Factors = Readonly<Record<string, string | null>>;

/** Jars made together and how many of them were contaminated. */
export interface ObservedLot {
  readonly id: string;
  readonly contaminated: number;
  readonly jars: number;
  readonly factors: Factors;
}

/**
 * Jars that went through the steriliser and were never inoculated. They carry only what touched them (grain batch,
 * cycle, room, method), and so tell the grain and the steriliser from the hands and the mothers.
 */
export interface ObservedBlank {
  readonly contaminated: number;
  readonly jars: number;
  readonly factors: Factors;
}

/** One level of one factor. */
export interface FactorLevel {
  readonly factor: string;
  readonly level: string;
}

/** The lots and blanks as numbers: one row each, and for every factor the index of its level (−1: none). */
export interface LotTable {
  readonly hits: Float64Array;
  readonly jars: Float64Array;
  /** Rows from here on are blanks. */
  readonly lots: number;
  readonly factors: readonly FactorColumn[];
}

export interface FactorColumn {
  readonly factor: string;
  readonly levels: readonly string[];
  /** Level of each row. */
  readonly level: Int32Array;
  /** Rows of each level. */
  readonly rows: readonly (readonly number[])[];
}

/**
 * Lays lots and blanks out as columns. Rows without jars are left out.
 * @throws DomainError `count-out-of-range`, `lot-twice`
 */
export function lotTable(lots: readonly ObservedLot[], blanks: readonly ObservedBlank[]): LotTable {
  requireThat(new Set(lots.map(({ id }) => id)).size === lots.length, 'lot-twice', 'A lot stands in the list twice.');
  for (const { contaminated, jars } of [...lots, ...blanks]) requireCount(contaminated, jars);
  const countedLots = lots.filter(({ jars }) => jars > 0);
  const rows = [...countedLots, ...blanks.filter(({ jars }) => jars > 0)];
  const names = [...new Set(rows.flatMap(({ factors }) => Object.keys(factors)))].sort();
  return {
    hits: Float64Array.from(rows, ({ contaminated }) => contaminated),
    jars: Float64Array.from(rows, ({ jars }) => jars),
    lots: countedLots.length,
    factors: names.map((factor) => columnOf(factor, rows)),
  };
}

function columnOf(factor: string, rows: readonly { readonly factors: Factors }[]): FactorColumn {
  const indexOf = new Map<string, number>();
  const level = Int32Array.from(rows, ({ factors }) => {
    const name = factors[factor] ?? null;
    if (name === null) return -1;
    if (!indexOf.has(name)) indexOf.set(name, indexOf.size);
    return indexOf.get(name)!;
  });
  const members: number[][] = [...indexOf].map(() => []);
  level.forEach((index, row) => {
    if (index >= 0) members[index]!.push(row);
  });
  return { factor, levels: [...indexOf.keys()], level, rows: members };
}
