import { type CalendarDay, isCalendarDay } from '@jarfold/domain';
import { parseAddress } from '../cells/address.js';
import type { Cell, CellContent, MergedBlock, SheetRow } from '../cells/cell.js';
import { dayOfSerial } from '../cells/serial-day.js';
import { unreadable } from '../problem.js';
import type { NumberLook } from './cell-formats.js';
import { unescapeText } from './escaped-text.js';
import type { WorkbookLimits } from './limits.js';
import { requireTextLength } from './text-length.js';
import { readXml, type XmlAttributes } from './xml-events.js';

/** What a sheet's cells refer to. */
export interface SheetContext {
  readonly sharedStrings: readonly string[];
  readonly looks: readonly NumberLook[];
  readonly date1904: boolean;
  readonly limits: WorkbookLimits;
  /** Cells the whole file may still hold. */
  readonly budget: { cells: number };
}

/** A cell while its element is open. */
interface OpenCell {
  readonly row: number;
  readonly column: number;
  readonly type: string;
  readonly style: string;
  formula: boolean;
  value: string | null;
  inline: string;
}

/** Reads the cells of one sheet that hold something. Blank, merely formatted cells are passed over. */
export function readSheetPart(part: string, name: string, bytes: Buffer, context: SheetContext) {
  const reader = new SheetReader(part, name, context);
  readXml(part, bytes, {
    open: (element, attributes) => reader.open(element, attributes),
    text: (text) => reader.text(text),
    close: (element) => reader.close(element),
  });
  return { rows: reader.rows, merged: reader.merged };
}

class SheetReader {
  readonly rows: SheetRow[] = [];
  readonly merged: MergedBlock[] = [];
  readonly #part: string;
  readonly #name: string;
  readonly #context: SheetContext;
  #row = 0;
  #column = 0;
  #cells: Cell[] = [];
  #cell: OpenCell | null = null;
  #collecting: 'value' | 'inline' | null = null;
  #inPhonetic = false;

  constructor(part: string, name: string, context: SheetContext) {
    this.#part = part;
    this.#name = name;
    this.#context = context;
  }

  open(element: string, attributes: XmlAttributes): void {
    if (element === 'row') this.#openRow(attributes);
    else if (element === 'c') this.#openCell(attributes);
    else if (element === 'mergeCell') this.#merge(attributes.ref ?? '');
    else if (this.#cell) this.#openInsideCell(element, this.#cell);
  }

  text(text: string): void {
    if (!this.#cell || !this.#collecting) return;
    const { limits } = this.#context;
    if (this.#collecting === 'value') {
      this.#cell.value = requireTextLength((this.#cell.value ?? '') + text, this.#part, limits);
    } else this.#cell.inline = requireTextLength(this.#cell.inline + text, this.#part, limits);
  }

  close(element: string): void {
    if (element === 'v' || element === 't') this.#collecting = null;
    else if (element === 'rPh') this.#inPhonetic = false;
    else if (element === 'c') this.#closeCell();
    else if (element === 'row') this.#closeRow();
  }

  #openRow({ r }: XmlAttributes): void {
    const row = r === undefined ? this.#row + 1 : Number(r);
    if (!parseAddress(`A${row}`) || row <= this.#row) throw this.#damaged(`row "${r}"`);
    this.#row = row;
    this.#column = 0;
    this.#cells = [];
  }

  #openCell({ r, t = 'n', s = '0' }: XmlAttributes): void {
    const place = r === undefined ? { column: this.#column + 1, row: this.#row } : parseAddress(r);
    if (!place || place.row !== this.#row || place.column <= this.#column) throw this.#damaged(`cell "${r}"`);
    this.#column = place.column;
    this.#cell = { row: this.#row, column: place.column, type: t, style: s, formula: false, value: null, inline: '' };
  }

  #openInsideCell(element: string, cell: OpenCell): void {
    if (element === 'f') cell.formula = true;
    else if (element === 'v') this.#collecting = 'value';
    else if (element === 'rPh') this.#inPhonetic = true;
    else if (element === 't' && !this.#inPhonetic) this.#collecting = 'inline';
  }

  #closeCell(): void {
    const cell = this.#cell;
    this.#cell = null;
    const content = cell && this.#content(cell);
    if (!cell || !content) return;
    const { limits, budget } = this.#context;
    if (cell.column > limits.columns) throw this.#tooLarge(`more than ${limits.columns} columns`);
    budget.cells -= 1;
    if (budget.cells < 0) throw this.#tooLarge(`too many cells; at most ${limits.cells} are read from a file`);
    this.#cells.push({ row: cell.row, column: cell.column, content, formula: cell.formula });
  }

  #closeRow(): void {
    if (this.#cells.length === 0) return;
    this.rows.push({ row: this.#row, cells: this.#cells });
    if (this.rows.length > this.#context.limits.rows)
      throw this.#tooLarge(`more than ${this.#context.limits.rows} rows`);
  }

  #content(cell: OpenCell): CellContent | null {
    const { value } = cell;
    if (cell.type === 'inlineStr') return textContent(unescapeText(cell.inline));
    if (value === null || value === '') return this.#contentWithoutValue(cell);
    if (cell.type === 's') return textContent(this.#sharedString(value));
    if (cell.type === 'str') return textContent(unescapeText(value));
    if (cell.type === 'b') return { kind: 'boolean', value: value === '1' || value === 'true' };
    if (cell.type === 'e') return { kind: 'error', code: value };
    if (cell.type === 'd') return { kind: 'day', day: dayOfIsoText(value), shown: value };
    return this.#numberContent(cell, value);
  }

  /** A formula whose result is an empty text counts as blank; one that was never calculated does not. */
  #contentWithoutValue({ formula, type }: OpenCell): CellContent | null {
    return formula && type !== 'str' ? { kind: 'uncomputed' } : null;
  }

  #sharedString(value: string): string {
    const text = this.#context.sharedStrings[Number(value)];
    if (text === undefined) throw this.#damaged(`reference to the text number "${value}"`);
    return text;
  }

  #numberContent({ style }: OpenCell, value: string): CellContent {
    const number = Number(value);
    if (!Number.isFinite(number)) throw this.#damaged(`number "${value}"`);
    const look = this.#context.looks[Number(style)] ?? 'plain';
    if (look !== 'date') return { kind: 'number', number, percent: look === 'percent' };
    const day = dayOfSerial(number, this.#context.date1904);
    return { kind: 'day', day, shown: day ?? value };
  }

  #merge(ref: string): void {
    const [from, to = from] = ref.split(':').map((end) => parseAddress(end));
    if (!from || !to || to.row < from.row || to.column < from.column) throw this.#damaged(`merged block "${ref}"`);
    this.merged.push({ top: from.row, left: from.column, bottom: to.row, right: to.column });
    if (this.merged.length > this.#context.limits.mergedBlocks) throw this.#tooLarge('too many merged cells');
  }

  #damaged(what: string) {
    return unreadable(
      'damaged',
      `Sheet ${this.#name} is damaged: it has an impossible ${what}.`,
      'Open the file in a spreadsheet program, let it repair it, and save it again.',
    );
  }

  #tooLarge(what: string) {
    return unreadable('too-large', `Sheet ${this.#name} has ${what}.`, 'Delete what is not used and save it again.');
  }
}

const textContent = (text: string): CellContent | null => (text.trim() === '' ? null : { kind: 'text', text });

function dayOfIsoText(text: string): CalendarDay | null {
  const day = /^(\d{4}-\d{2}-\d{2})(T[\d:.]+Z?)?$/.exec(text.trim())?.[1];
  return day !== undefined && isCalendarDay(day) ? day : null;
}
