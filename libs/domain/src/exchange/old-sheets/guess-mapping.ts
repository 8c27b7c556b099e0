import type { FoundTable } from './find-tables.js';
import { guessColumns, guessFor } from './guess-columns.js';
import { readRows, textValue } from './read-rows.js';
import { fieldSpec, type SheetField, type SheetUnit, type TableUse, unitsOf } from './sheet-fields.js';
import {
  type ColumnUse,
  type FarmFacts,
  type SheetMapping,
  sheetStates,
  type TableMapping,
  type WordField,
  type WordMeaning,
  wordFields,
} from './sheet-mapping.js';
import { unitInHeading } from './sheet-units.js';
import { plainMeaning, wordKey } from './word-meanings.js';

/** A first mapping of a file's tables, for the farm to look at and change. Hidden sheets are left out until it says so. */
export function guessMapping(tables: readonly FoundTable[]): SheetMapping {
  return Object.fromEntries(
    tables.map((table) => {
      const guess = guessColumns(table.columns);
      const use = guess.score > 0 && !table.hidden ? guess.use : 'leave-out';
      return [table.key, mappingAs(table, use)];
    }),
  );
}

/** The guess for a table once it is known what it holds. */
export function mappingAs(table: FoundTable, use: TableUse | 'leave-out'): TableMapping {
  const { fields } = use === 'leave-out' ? guessColumns(table.columns) : guessFor(use, table.columns);
  const columns: Record<string, ColumnUse> = {};
  const units: Partial<Record<SheetField, SheetUnit>> = {};
  for (const { column, heading } of table.columns) {
    // What no field is guessed for is kept as a note where notes can be kept, so that nothing is lost unsaid.
    const field =
      fields.get(column) ?? (use !== 'leave-out' && fieldSpec(use, 'note') !== undefined ? 'note' : 'leave-out');
    columns[String(column)] = field;
    const spec = use === 'leave-out' || field === 'leave-out' ? undefined : fieldSpec(use, field);
    const unit = spec === undefined ? null : unitInHeading(heading);
    if (unit !== null && field !== 'leave-out' && spec !== undefined && unitsOf(spec).includes(unit))
      units[field] = unit;
  }
  return { use, columns, forAllRows: {}, units, decimalMark: null, dayOrder: null, dayCount: null, words: {} };
}

/** Names of the runs that the file itself brings. */
export function runsInFile(tables: readonly FoundTable[], mapping: SheetMapping): readonly string[] {
  return tables.flatMap((table) => {
    const of = mapping[table.key];
    if (of === undefined || of.use !== 'runs') return [];
    const { rows } = readRows(table, { ...of, use: of.use });
    return rows.flatMap((row) => textValue(row, 'run') ?? []);
  });
}

/** Adds the meaning of every word that plainly has one; what the farm has said stays. */
export function withPlainWords(tables: readonly FoundTable[], mapping: SheetMapping, farm: FarmFacts): SheetMapping {
  const runs = runsInFile(tables, mapping);
  return Object.fromEntries(
    tables.flatMap((table) => {
      const of = mapping[table.key];
      if (of === undefined) return [];
      if (of.use === 'leave-out') return [[table.key, of] as const];
      const { rows } = readRows(table, { ...of, use: of.use });
      const words: Partial<Record<WordField, Record<string, WordMeaning>>> = {};
      for (const field of wordFields) {
        const known: Record<string, WordMeaning> = { ...of.words[field] };
        for (const row of rows) {
          const word = fieldSpec(of.use, field)?.reading === 'words' ? textValue(row, field) : null;
          if (word === null || Object.hasOwn(known, wordKey(word))) continue;
          const meaning = plainMeaning(field, word, farm, runs);
          if (meaning !== null) known[wordKey(word)] = meaning;
        }
        if (Object.keys(known).length > 0) words[field] = known;
      }
      return [[table.key, { ...of, words }] as const];
    }),
  );
}

/** Forgets meanings that name a strain, size, shelf or run the farm does not have (any more): they are asked about again. */
export function withoutLostMeanings(mapping: TableMapping, farm: FarmFacts): TableMapping {
  const ids: Readonly<Record<WordField, ReadonlySet<string>>> = {
    strain: new Set(farm.strains.map(({ id }) => id)),
    size: new Set(farm.sizes.map(({ id }) => id)),
    place: new Set(farm.shelves.map(({ id }) => id)),
    run: new Set(farm.runs.map(({ id }) => id)),
    state: new Set(sheetStates),
  };
  const words: Partial<Record<WordField, Record<string, WordMeaning>>> = {};
  for (const field of wordFields) {
    const stands = Object.entries(mapping.words[field] ?? {}).filter(
      ([, meaning]) => fits(field, meaning) && (meaning.to !== 'known' || ids[field].has(meaning.id)),
    );
    if (stands.length > 0) words[field] = Object.fromEntries(stands);
  }
  return { ...mapping, words };
}

/** A strain is no size: a meaning belongs to its field. */
function fits(field: WordField, { to }: WordMeaning): boolean {
  const own: Readonly<Partial<Record<WordMeaning['to'], WordField>>> = {
    'new-strain': 'strain',
    'new-size': 'size',
    'new-room': 'place',
    'run-in-file': 'run',
  };
  return own[to] === undefined || own[to] === field;
}
