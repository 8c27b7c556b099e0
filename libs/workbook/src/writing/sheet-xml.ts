import { address, columnLetters } from '../cells/address.js';
import { serialOfDay } from '../cells/serial-day.js';
import { BAR, LINE_HEIGHT } from './house-style.js';
import { safeText } from './safe-text.js';
import type { DraftColumn, DraftHighlight, DraftRule, DraftValue, SheetDraft } from './sheet-draft.js';
import { CARE_LOOK, type CellLook, GOOD_LOOK, type StyleBook } from './style-book.js';
import { XML_HEAD, xmlText } from './xml-text.js';

/** Rows below the table that keep its validation lists, for what a person adds. */
const SPARE_ROWS = 200;

/** Where the table of a written sheet stands. Known once its rows were written. */
export interface TablePlace {
  readonly headRow: number;
  /** Rows below the headings, the remark of an empty table included. */
  bodyRows: number;
  hasTotals: boolean;
  /** Links met on the way: written behind the cells. */
  readonly links: { readonly cell: string; readonly to: string; readonly text: string }[];
}

export const newTablePlace = ({ title }: SheetDraft): TablePlace => ({
  headRow: title.length + 1,
  bodyRows: 0,
  hasTotals: false,
  links: [],
});

export const lastRow = ({ headRow, bodyRows, hasTotals }: TablePlace) => headRow + bodyRows + (hasTotals ? 1 : 0);

/** The relationship ids of what a sheet refers to; null for what it has not. */
export interface SheetRelations {
  readonly table: string;
  readonly notes: string | null;
  readonly drawing: string | null;
}

/** One sheet as XML, piece by piece: its rows are taken one at a time. Source: ECMA-376 part 1, 18.3.1. */
export function* sheetXml(
  draft: SheetDraft,
  place: TablePlace,
  styles: StyleBook,
  relations: SheetRelations,
  isFirst: boolean,
): Generator<string> {
  const { headRow } = place;
  yield `${XML_HEAD}<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"><sheetPr><pageSetUpPr fitToPage="1"/></sheetPr>`;
  yield viewXml(draft, headRow, isFirst);
  yield `<cols>${draft.columns.map(columnXml).join('')}</cols><sheetData>`;
  yield* titleRows(draft, styles);
  yield headingRow(draft, headRow, styles);
  yield* bodyRows(draft, place, styles);
  yield '</sheetData>';
  yield conditionalFormats(draft, place);
  yield validations(draft, place);
  yield links(place);
  yield `<pageMargins left="0.4" right="0.4" top="0.5" bottom="0.6" header="0.3" footer="0.3"/><pageSetup paperSize="9" orientation="${draft.orientation ?? 'landscape'}" fitToWidth="1" fitToHeight="0"/><headerFooter><oddFooter>&amp;L&amp;A&amp;RPage &amp;P of &amp;N</oddFooter></headerFooter>`;
  if (relations.drawing) yield `<drawing r:id="${relations.drawing}"/>`;
  if (relations.notes) yield `<legacyDrawing r:id="${relations.notes}"/>`;
  yield `<tableParts count="1"><tablePart r:id="${relations.table}"/></tableParts></worksheet>`;
}

function viewXml({ freeze = true }: SheetDraft, headRow: number, isFirst: boolean): string {
  const next = `B${headRow + 1}`;
  const pane = freeze
    ? `<pane xSplit="1" ySplit="${headRow}" topLeftCell="${next}" activePane="bottomRight" state="frozen"/><selection pane="bottomRight" activeCell="${next}" sqref="${next}"/>`
    : '';
  const selected = isFirst ? 'tabSelected="1" ' : '';
  return `<sheetViews><sheetView showGridLines="0" ${selected}workbookViewId="0">${pane}</sheetView></sheetViews><sheetFormatPr defaultRowHeight="15"/>`;
}

const columnXml = ({ width, hidden }: DraftColumn, at: number) =>
  `<col min="${at + 1}" max="${at + 1}" width="${width}" customWidth="1"${hidden ? ' hidden="1"' : ''}/>`;

function* titleRows({ title, textSize = 11 }: SheetDraft, styles: StyleBook): Generator<string> {
  for (const [at, line] of title.entries()) {
    const look = styles.look({ format: '@', align: 'title', size: at === 0 ? 16 : textSize, bold: at === 0 });
    yield `<row r="${at + 1}" ht="${at === 0 ? 24 : textSize + 6}" customHeight="1">${textCell(`A${at + 1}`, look, line)}</row>`;
  }
}

function headingRow({ columns }: SheetDraft, row: number, styles: StyleBook): string {
  const cells = columns.map((column, at) => {
    const look: CellLook = {
      format: '@',
      align: sideOf(column),
      bold: true,
      fill: 'grain',
      border: 'medium',
      wrap: true,
    };
    return textCell(address(at + 1, row), styles.look(look), column.header);
  });
  const height =
    LINE_HEIGHT *
      linesIn(
        columns.map(({ header }) => header),
        columns,
        11,
      ) +
    6;
  return `<row r="${row}" ht="${height}" customHeight="1">${cells.join('')}</row>`;
}

function* bodyRows(draft: SheetDraft, place: TablePlace, styles: StyleBook): Generator<string> {
  const { columns, marked, textSize = 11 } = draft;
  const letters = columns.map((_, at) => columnLetters(at + 1));
  const plain = columns.map((column) => styles.look(bodyLook(column, textSize, false)));
  const strong = columns.map((column) => styles.look(bodyLook(column, textSize, true)));
  const linked = columns.map((column) => styles.look({ ...bodyLook(column, textSize, false), link: true }));
  const formulas = columns.map(({ formula }) => formula);
  const sums = columns.map(() => 0);
  const byHeader = new Map(columns.map(({ header }, at) => [header, letters[at] ?? '']));
  let row = place.headRow;
  for (const values of draft.rows) {
    row += 1;
    const looks = marked?.(values) ? strong : plain;
    const cellOf = (header: string) => `${requireHeader(byHeader, header)}${row}`;
    let cells = '';
    for (let at = 0; at < columns.length; at++) {
      const value = values[at] ?? null;
      if (typeof value === 'number') sums[at] = (sums[at] ?? 0) + value;
      const cell = `${letters[at]}${row}`;
      const look = (isLink(value) ? linked : looks)[at] ?? 0;
      if (isLink(value)) place.links.push({ cell, to: value.to, text: value.text });
      const formula = formulas[at];
      cells += formula ? formulaCell(cell, look, formula(cellOf), value) : cellXml(cell, look, value);
    }
    yield `<row r="${row}" ht="${heightOf(values, columns, textSize)}" customHeight="1">${cells}</row>`;
  }
  place.bodyRows = row - place.headRow;
  if (place.bodyRows === 0) {
    place.bodyRows = 1;
    const look = styles.look({ format: '@', align: 'left', size: textSize });
    yield `<row r="${row + 1}">${textCell(`A${row + 1}`, look, draft.whenEmpty ?? '')}</row>`;
    return;
  }
  place.hasTotals = columns.some(({ total }) => total);
  if (place.hasTotals) yield totalsRow(draft, place, styles, sums);
}

function requireHeader(byHeader: ReadonlyMap<string, string>, header: string): string {
  const letters = byHeader.get(header);
  if (letters === undefined) throw new Error(`A formula names the column "${header}", which the sheet has not.`);
  return letters;
}

function totalsRow({ columns }: SheetDraft, place: TablePlace, styles: StyleBook, sums: readonly number[]): string {
  const row = place.headRow + place.bodyRows + 1;
  const cells = columns.map((column, at) => {
    const look = styles.look({ format: column.total ? column.format : '@', align: sideOf(column), bold: true });
    const cell = address(at + 1, row);
    if (column.total) return formulaCell(cell, look, totalFormula(at, place), sums[at] ?? 0);
    return at === 0 ? textCell(cell, look, 'Total') : '';
  });
  return `<row r="${row}">${cells.join('')}</row>`;
}

/** 109 sums what a filter leaves visible. */
function totalFormula(at: number, { headRow, bodyRows: rows }: TablePlace): string {
  const letters = columnLetters(at + 1);
  return `SUBTOTAL(109,${letters}${headRow + 1}:${letters}${headRow + rows})`;
}

function bodyLook(column: DraftColumn, size: number, marked: boolean): CellLook {
  const fill = marked ? ('straw' as const) : column.editable ? ('paper' as const) : null;
  return {
    ...{ format: column.format, align: sideOf(column), border: 'thin', size },
    ...(column.wrap ? { wrap: true } : {}),
    ...(marked ? { bold: true } : {}),
    ...(fill ? { fill } : {}),
  };
}

function sideOf({ align, format }: DraftColumn): 'left' | 'right' {
  return align ?? (/^[0#G]/.test(format) ? 'right' : 'left');
}

const isLink = (value: DraftValue): value is { readonly text: string; readonly to: string } =>
  typeof value === 'object' && value !== null && 'to' in value;

function cellXml(cell: string, look: number, value: DraftValue): string {
  if (value === null || value === '') return `<c r="${cell}" s="${look}"/>`;
  if (typeof value === 'number') return `<c r="${cell}" s="${look}"><v>${value}</v></c>`;
  if (typeof value === 'string') return textCell(cell, look, value);
  return 'day' in value
    ? `<c r="${cell}" s="${look}"><v>${serialOfDay(value.day)}</v></c>`
    : textCell(cell, look, value.text);
}

/** The text stands in the cell itself: a list of shared texts would have to be kept until the end. */
function textCell(cell: string, look: number, text: string): string {
  return `<c r="${cell}" s="${look}" t="inlineStr"><is><t xml:space="preserve">${xmlText(text)}</t></is></c>`;
}

/** With the result beside the formula, so that a program that does not calculate shows it too. */
function formulaCell(cell: string, look: number, formula: string, result: DraftValue): string {
  const inner = `<f>${xmlText(formula)}</f>`;
  if (result === null) return `<c r="${cell}" s="${look}" t="str">${inner}<v></v></c>`;
  if (typeof result === 'number') return `<c r="${cell}" s="${look}">${inner}<v>${result}</v></c>`;
  if (typeof result === 'string') return `<c r="${cell}" s="${look}" t="str">${inner}<v>${xmlText(result)}</v></c>`;
  if ('day' in result) return `<c r="${cell}" s="${look}">${inner}<v>${serialOfDay(result.day)}</v></c>`;
  throw new Error('A link cannot be the result of a formula.');
}

/** Programs do not agree on fitting rows to wrapped text when they open a file, so the heights are written. */
function heightOf(values: readonly DraftValue[], columns: readonly DraftColumn[], size: number): number {
  let lines = 1;
  for (let at = 0; at < columns.length; at++) {
    const value = values[at];
    if (columns[at]?.wrap && typeof value === 'string') lines = Math.max(lines, linesOf(value, columns[at], size));
  }
  return Math.round(((LINE_HEIGHT * size) / 11) * lines) + 3;
}

function linesIn(texts: readonly string[], columns: readonly DraftColumn[], size: number): number {
  return Math.max(1, ...texts.map((text, at) => linesOf(text, columns[at], size)));
}

/** Lines a text takes; a little is allowed for words that do not fill a line. */
function linesOf(text: string, column: DraftColumn | undefined, size: number): number {
  const perLine = ((column?.width ?? 10) * 11) / size;
  return text.split('\n').reduce((lines, part) => lines + Math.max(1, Math.ceil((part.length * 1.05) / perLine)), 0);
}

function conditionalFormats({ columns, highlights = [] }: SheetDraft, place: TablePlace): string {
  const first = place.headRow + 1;
  const last = place.headRow + place.bodyRows;
  const bars = columns.flatMap(({ bar }, at) => {
    const letters = columnLetters(at + 1);
    return bar
      ? [`<conditionalFormatting sqref="${letters}${first}:${letters}${last}">${barRule(at)}</conditionalFormatting>`]
      : [];
  });
  const all = `A${first}:${columnLetters(columns.length)}${last}`;
  const rules = highlights.map((highlight, at) => highlightRule(highlight, columns, first, columns.length + at + 1));
  const marks =
    rules.length === 0 ? '' : `<conditionalFormatting sqref="${all}">${rules.join('')}</conditionalFormatting>`;
  return marks + bars.join('');
}

const barRule = (at: number) =>
  `<cfRule type="dataBar" priority="${at + 1}"><dataBar><cfvo type="num" val="0"/><cfvo type="max"/><color rgb="${BAR}"/></dataBar></cfRule>`;

function highlightRule({ when, look }: DraftHighlight, columns: readonly DraftColumn[], row: number, priority: number) {
  const byHeader = new Map(columns.map(({ header }, at) => [header, columnLetters(at + 1)]));
  const formula = when((header) => `$${requireHeader(byHeader, header)}${row}`);
  return `<cfRule type="expression" dxfId="${look === 'care' ? CARE_LOOK : GOOD_LOOK}" priority="${priority}"><formula>${xmlText(formula)}</formula></cfRule>`;
}

function validations({ columns }: SheetDraft, { headRow, bodyRows: rows }: TablePlace): string {
  const rules = columns.flatMap((column, at) => {
    const rule: DraftRule | undefined = column.words ? { kind: 'words', words: column.words } : column.rule;
    const letters = columnLetters(at + 1);
    const range = `${letters}${headRow + 1}:${letters}${headRow + rows + SPARE_ROWS}`;
    return rule ? [validation(column.header, rule, range)] : [];
  });
  return rules.length === 0 ? '' : `<dataValidations count="${rules.length}">${rules.join('')}</dataValidations>`;
}

function validation(header: string, rule: DraftRule, range: string): string {
  const [type, formulas, advice] = ruleXml(rule);
  const title = xmlText(safeText(header).slice(0, 32));
  return `<dataValidation ${type} allowBlank="1" showErrorMessage="1" errorTitle="${title}" error="${xmlText(advice.slice(0, 225))}" sqref="${range}">${formulas}</dataValidation>`;
}

function ruleXml(rule: DraftRule): readonly [type: string, formulas: string, advice: string] {
  switch (rule.kind) {
    case 'words':
      return [
        'type="list"',
        `<formula1>"${xmlText(rule.words.join(','))}"</formula1>`,
        `Choose one of: ${rule.words.join(', ')}.`,
      ];
    case 'named':
      return ['type="list"', `<formula1>${xmlText(rule.name)}</formula1>`, 'Choose one of the list.'];
    case 'number':
      return [
        `type="${rule.whole ? 'whole' : 'decimal'}" operator="between"`,
        `<formula1>${rule.min}</formula1><formula2>${rule.max}</formula2>`,
        `Write a ${rule.whole ? 'whole ' : ''}number from ${rule.min} to ${rule.max}.`,
      ];
    case 'day':
      // From 1 January 2000: an earlier day is a slip.
      return ['type="date" operator="greaterThan"', '<formula1>36525</formula1>', 'Write a day, such as 2026-12-24.'];
  }
}

function links({ links: found }: TablePlace): string {
  if (found.length === 0) return '';
  const written = found.map(
    ({ cell, to, text }) => `<hyperlink ref="${cell}" location="${xmlText(to)}" display="${xmlText(text)}"/>`,
  );
  return `<hyperlinks>${written.join('')}</hyperlinks>`;
}
