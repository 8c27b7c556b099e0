import { cellText } from '../cell-text.js';
import { fieldsOf, type SheetField, type TableUse, tableUses } from './sheet-fields.js';
import { unitOfWord } from './sheet-units.js';

/** Only letters, digits and % matter, so `Made on:` is `madeon`. */
export function headingKey(heading: string): string {
  return cellText(heading)
    .toLowerCase()
    .replace(/[^\p{L}\p{N}%]/gu, '');
}

/** A heading without the unit it names: `Spawn (g)` is `spawn`. */
function bareHeading(heading: string): string {
  const words = cellText(heading)
    .toLowerCase()
    .split(/[\s()[\]]+/)
    .filter((word) => word !== '' && unitOfWord(word) === null);
  return headingKey(words.join(' '));
}

const wordsOf = (heading: string): readonly string[] =>
  cellText(heading)
    .toLowerCase()
    .split(/[^\p{L}\p{N}%]+/u)
    .filter((word) => word.length >= 3);

/** How surely a heading names a field: 3 the whole heading, 2 without its unit, 1 one of its words; 0 not at all. */
function likeness(heading: string, names: readonly string[]): number {
  if (names.includes(headingKey(heading))) return 3;
  if (names.includes(bareHeading(heading))) return 2;
  return wordsOf(heading).some((word) => names.includes(word)) ? 1 : 0;
}

/** Whether a heading is one that a farm's tables have, as a whole. */
export function isKnownHeading(heading: string): boolean {
  return tableUses.some((use) => Object.values(fieldsOf[use]).some(({ headings }) => likeness(heading, headings) >= 2));
}

export interface ColumnGuess {
  readonly use: TableUse;
  /** By column number; a column that nothing is guessed for is missing. */
  readonly fields: ReadonlyMap<number, SheetField>;
  /** What the guess rests on; 0 when no heading is known. */
  readonly score: number;
}

interface Headed {
  readonly column: number;
  readonly heading: string;
}

/** Guesses what a table is and what its columns say. A guess is shown and can be changed; nothing rests on it alone. */
export function guessColumns(columns: readonly Headed[]): ColumnGuess {
  const guesses = tableUses.map((use) => guessFor(use, columns));
  return guesses.reduce((best, guess) => (guess.score > best.score ? guess : best));
}

/** What the columns say if the table is of the given use. */
export function guessFor(use: TableUse, columns: readonly Headed[]): ColumnGuess {
  const fields = new Map<number, SheetField>();
  const taken = new Set<SheetField>();
  let score = 0;
  for (const least of [3, 2, 1]) {
    for (const { column, heading } of columns) {
      if (fields.has(column)) continue;
      const field = Object.entries(fieldsOf[use]).find(
        ([name, { headings }]) => !taken.has(name as SheetField) && likeness(heading, headings) === least,
      )?.[0] as SheetField | undefined;
      if (field === undefined) continue;
      fields.set(column, field);
      if (field !== 'note') taken.add(field);
      score += field === 'note' ? 0 : least * (fieldsOf[use][field]?.required ? 2 : 1);
    }
  }
  const missing = Object.entries(fieldsOf[use]).filter(
    ([name, { required, forAllRows }]) => required && !forAllRows && !taken.has(name as SheetField),
  );
  return { use, fields, score: score - missing.length * 3 };
}
