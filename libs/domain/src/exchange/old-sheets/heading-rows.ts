import { cellText } from '../cell-text.js';
import { isKnownHeading } from './guess-columns.js';
import { dayReadings } from './written-day.js';
import type { WrittenCell, WrittenRow, WrittenSheet } from './written-file.js';
import { numberReadings } from './written-number.js';

export interface FoundColumn {
  readonly column: number;
  /** What stands above it; `Column D` where nothing does. */
  readonly heading: string;
}

export interface FoundHeadings {
  /** How many rows the headings take: one or two. */
  readonly rows: 1 | 2;
  readonly columns: readonly FoundColumn[];
}

const LONGEST_HEADING = 60;

/**
 * Whether headings begin at a row. Above the first table unknown headings count too, when what follows is no text; below
 * one only headings that farms are known to write, so that a row of words is not taken for them.
 * @param at place of the row among the rows
 */
export function headingRows(
  sheet: WrittenSheet,
  rows: readonly WrittenRow[],
  at: number,
  first: boolean,
): FoundHeadings | null {
  const row = rows[at]!;
  const next = rows[at + 1];
  if (!isAllHeadings(row)) return null;
  const below = next && isAllHeadings(next) && next.row === row.row + 1 ? next : null;
  if (below && isUpperHalf(sheet, row, below)) return { rows: 2, columns: joined(sheet, row, below) };
  const known = knownIn(row);
  const enough = first
    ? known >= 2 || (row.cells.length >= 2 && holdsFacts(next) && (known > 0 || isSolid(row)))
    : known >= 2 && known * 2 >= row.cells.length;
  return enough
    ? { rows: 1, columns: row.cells.map(({ column, content }) => ({ column, heading: textOf(content) })) }
    : null;
}

const textOf = (content: WrittenCell['content']): string => (content.kind === 'text' ? cellText(content.text) : '');

function isAllHeadings({ cells }: WrittenRow): boolean {
  return cells.length >= 2 && cells.every(({ content, formula }) => !formula && isHeading(textOf(content)));
}

/** Words, and not a number or a day written as text. */
function isHeading(text: string): boolean {
  if (text === '' || text.length > LONGEST_HEADING || !/\p{L}|%|#|№/u.test(text)) return false;
  const readings = numberReadings(text);
  return dayReadings(text) === null && (readings === null || /\p{L}{4}/u.test(readings.behind));
}

const knownIn = ({ cells }: WrittenRow): number =>
  cells.filter(({ content }) => isKnownHeading(textOf(content))).length;

/** The row after the headings holds a number or a day somewhere: it is a record. */
function holdsFacts(row: WrittenRow | undefined): boolean {
  return (
    row?.cells.some(
      ({ content }) =>
        content.kind === 'number' ||
        content.kind === 'day' ||
        (content.kind === 'text' && (numberReadings(content.text) !== null || dayReadings(content.text) !== null)),
    ) ?? false
  );
}

/** Headings of nobody's vocabulary stand side by side, each once. */
function isSolid({ cells }: WrittenRow): boolean {
  const texts = cells.map(({ content }) => textOf(content).toLowerCase());
  const [first, last] = [cells[0]!.column, cells.at(-1)!.column];
  return new Set(texts).size === texts.length && last - first + 1 === cells.length;
}

/** Headings in two rows: the upper ones are merged over several columns, or leave columns to the lower ones. */
function isUpperHalf(sheet: WrittenSheet, upper: WrittenRow, lower: WrittenRow): boolean {
  const spans = sideways(sheet, upper.row);
  const filled = new Set(upper.cells.map(({ column }) => column));
  const merged = upper.cells.some(({ column }) => spans.some(({ left, right }) => column === left && right > left));
  const onlyBelow = lower.cells.some(({ column }) => !filled.has(column));
  if (!merged && !onlyBelow) return false;
  // A row of records that happens to be all words is no second row of headings.
  return knownIn(lower) >= 1 && knownIn(lower) * 3 >= lower.cells.length;
}

const sideways = ({ merged }: WrittenSheet, row: number) =>
  merged.filter(({ top, bottom, left, right }) => row >= top && row <= bottom && right > left);

/** Each column under what stands above it: `Spawn` over `g left` is `Spawn g left`. */
function joined(sheet: WrittenSheet, upper: WrittenRow, lower: WrittenRow): readonly FoundColumn[] {
  const spans = sideways(sheet, upper.row);
  const above = (column: number): string => {
    const own = upper.cells.find((cell) => cell.column === column);
    if (own) return textOf(own.content);
    const span = spans.find(({ left, right }) => column >= left && column <= right);
    const over = span && upper.cells.find((cell) => cell.column === span.left);
    return over ? textOf(over.content) : '';
  };
  const columns = new Set([...upper.cells, ...lower.cells].map(({ column }) => column));
  return [...columns]
    .sort((a, b) => a - b)
    .map((column) => {
      const under = lower.cells.find((cell) => cell.column === column);
      const words = [above(column), under ? textOf(under.content) : ''].filter(
        (word, at, all) => word !== '' && all.indexOf(word) === at,
      );
      return { column, heading: words.join(' ') };
    });
}
