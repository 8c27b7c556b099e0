import {
  canonicalJson,
  type FarmFacts,
  type FoundTable,
  guessMapping,
  headingKey,
  type JarRecord,
  type SettledFile,
  type SheetMapping,
  settleFile,
  type UnderstoodFile,
  type WordMeaning,
  wordKey,
} from '@jarfold/domain';
import type { GrowerTx } from '../../platform/index.js';
import { digestOf } from '../named-id.js';
import { readFarmFacts } from './farm-facts.js';
import { codesHere, marksHere, rememberedMappings, runsHere } from './old-sheets.repository.js';
import { type Understand, understandInline } from './understander.js';

/** A file as it would be brought in now, by a mapping. */
export interface DryRun {
  readonly mapping: SheetMapping;
  readonly farm: Omit<FarmFacts, 'daysToRipeOf'>;
  readonly understood: UnderstoodFile;
  readonly settled: SettledFile;
  /** Strains, sizes and rooms that would be made. */
  readonly made: Made;
  /** Changes whenever file, mapping or farm would bring in something else. */
  readonly seen: string;
}

export interface Made {
  readonly strains: readonly Extract<WordMeaning, { to: 'new-strain' }>[];
  readonly sizes: readonly Extract<WordMeaning, { to: 'new-size' }>[];
  readonly rooms: readonly Extract<WordMeaning, { to: 'new-room' }>[];
}

/** Everything the bringing in would do, and nothing done. */
export async function dryRun(
  tx: GrowerTx,
  growerId: string,
  tables: readonly FoundTable[],
  said: SheetMapping,
  now: Date,
  understand: Understand = understandInline,
): Promise<DryRun> {
  const { facts: farm, ripeGrams } = await readFarmFacts(tx, growerId, now);
  const { mapping, understood } = await understand({ tables, said, facts: farm, ripeGrams });
  const settled = await settledFile(tx, growerId, understood);
  const made = madeWith(settled);
  const { already, refused, marks } = settled;
  const codes = settled.lots.map(({ code, jars }) => [code, jars.map((jar) => [jar.code, ...whatOf(jar.record)])]);
  // Stored JSON comes back with its keys in another order.
  const seen = digestOf(
    canonicalJson([mapping, codes, already, refused, marks, understood.refused, understood.questions, farm.today]),
  );
  return { mapping, farm, understood, settled, made, seen };
}

/** A jar's row, and the days that may have been worked out from what the farm says of its strains. */
const whatOf = ({ row, madeOn, ripeOn, chilledOn, openedOn, goneOn }: JarRecord) =>
  [row.row, madeOn, ripeOn, chilledOn, openedOn, goneOn] as const;

async function settledFile(tx: GrowerTx, growerId: string, understood: UnderstoodFile): Promise<SettledFile> {
  const written = (codes: readonly (string | null)[]) =>
    codes.flatMap((code) => (code === null ? [] : [wordKey(code)]));
  const codes = {
    jars: written(understood.jars.map(({ code }) => code)),
    lots: written(understood.jars.map(({ lot }) => lot)),
  };
  const here = {
    ...(await codesHere(tx, growerId, codes)),
    runs: new Set((await runsHere(tx, growerId)).keys()),
    marks: await marksHere(tx, growerId),
  };
  return settleFile(understood, here, (text) => digestOf(text).slice(0, 24));
}

function madeWith({ lots, runs }: SettledFile): Made {
  const records = lots.flatMap(({ jars }) => jars.map(({ record }) => record));
  const meanings = [
    ...records.flatMap(({ strain, size, place }) => [strain, size, place]),
    ...runs.map(({ strain }) => strain),
  ];
  const of = <T extends WordMeaning['to']>(to: T, keyOf: (meaning: Extract<WordMeaning, { to: T }>) => string) => {
    const found = meanings.filter((meaning): meaning is Extract<WordMeaning, { to: T }> => meaning?.to === to);
    return [...new Map(found.map((meaning) => [keyOf(meaning), meaning])).values()];
  };
  return {
    strains: of('new-strain', newThingKey),
    sizes: of('new-size', newThingKey),
    rooms: of('new-room', newThingKey),
  };
}

/** Two words that are made the same new thing make it once. */
export function newThingKey(meaning: WordMeaning): string {
  if (meaning.to === 'new-strain') return `strain ${meaning.code}`;
  if (meaning.to === 'new-size') return `size ${wordKey(meaning.name)}`;
  return meaning.to === 'new-room' ? `room ${wordKey(meaning.name)}` : '';
}

/** What stays the same between two files of one kind: the headings of a table, in their order. */
export const headingsOf = ({ columns }: FoundTable): string =>
  digestOf(columns.map(({ column, heading }) => [column - columns[0]!.column, headingKey(heading)]));

/** The first mapping of a file: what the farm said of tables with the same headings, else a guess. */
export async function firstMapping(
  tx: GrowerTx,
  growerId: string,
  tables: readonly FoundTable[],
  read: (stored: unknown) => SheetMapping[string] | null,
): Promise<{ readonly mapping: SheetMapping; readonly remembered: boolean }> {
  const stored = await rememberedMappings(tx, growerId, tables.map(headingsOf));
  const guess = guessMapping(tables);
  let remembered = false;
  const mapping = Object.fromEntries(
    tables.map((table) => {
      const before = stored.get(headingsOf(table));
      const found = before === undefined ? null : read(before);
      remembered ||= found !== null;
      return [table.key, found === null ? guess[table.key]! : movedTo(table, found)] as const;
    }),
  );
  return { mapping, remembered };
}

/** A table may begin in another column than last time. */
function movedTo({ columns }: FoundTable, mapping: SheetMapping[string]): SheetMapping[string] {
  const before = Object.keys(mapping.columns).map(Number);
  const offset = columns[0]!.column - Math.min(...before);
  const moved = Object.entries(mapping.columns).map(([column, use]) => [String(Number(column) + offset), use] as const);
  return { ...mapping, columns: Object.fromEntries(moved) };
}
