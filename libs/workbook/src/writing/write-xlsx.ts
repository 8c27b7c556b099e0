import { columnLetters } from '../cells/address.js';
import { chartXml, drawingXml } from './chart-xml.js';
import { type CellNote, commentsXml, noteBoxesXml } from './notes-xml.js';
import type { SheetDraft } from './sheet-draft.js';
import { lastRow, newTablePlace, type SheetRelations, sheetXml, type TablePlace } from './sheet-xml.js';
import { StyleBook } from './style-book.js';
import { tableXml } from './table-xml.js';
import { XML_HEAD, xmlText } from './xml-text.js';
import { type PackagePart, zipStream } from './zip-stream.js';

const MAIN = 'http://schemas.openxmlformats.org/spreadsheetml/2006/main';
const OFFICE = 'http://schemas.openxmlformats.org/officeDocument/2006/relationships';
const PACKAGE = 'http://schemas.openxmlformats.org/package/2006';
const SHEET_TYPE = 'application/vnd.openxmlformats-officedocument.spreadsheetml';

/**
 * Writes sheets as an .xlsx file: each a real table with frozen headings, number formats and print set-up. The whole
 * file in memory; see {@link streamXlsx} for large ones.
 */
export async function writeXlsx(
  sheets: readonly SheetDraft[],
  title: string,
  constants: DefinedConstants = {},
): Promise<Buffer> {
  const chunks: Buffer[] = [];
  for await (const chunk of streamXlsx(sheets, title, constants)) chunks.push(chunk);
  return Buffer.concat(chunks);
}

/** The same, chunk by chunk: rows are taken as they are written, so memory does not grow with them. */
export function streamXlsx(
  sheets: readonly SheetDraft[],
  title: string,
  constants: DefinedConstants = {},
): AsyncGenerator<Buffer> {
  return zipStream(parts(sheets.map(plannedSheet), title, constants));
}

/** Names that formulas may use, and the number each stands for. */
export type DefinedConstants = Readonly<Record<string, string>>;

/** The same sheets, with somebody told of each row that is written; what that throws ends the writing. */
export function toldOfRows(sheets: readonly SheetDraft[], onRow: () => void): SheetDraft[] {
  const told = function* (rows: SheetDraft['rows']) {
    for (const row of rows) {
      onRow();
      yield row;
    }
  };
  return sheets.map((sheet) => ({ ...sheet, rows: { [Symbol.iterator]: () => told(sheet.rows) } }));
}

/** A sheet with what is known of it before its rows are written. */
interface PlannedSheet {
  readonly draft: SheetDraft;
  readonly number: number;
  readonly place: TablePlace;
  readonly notes: readonly CellNote[];
}

function plannedSheet(draft: SheetDraft, at: number): PlannedSheet {
  const place = newTablePlace(draft);
  const notes = draft.columns.flatMap(({ note }, column) =>
    note ? [{ row: place.headRow, column: column + 1, text: note }] : [],
  );
  return { draft, number: at + 1, place, notes };
}

function* parts(sheets: readonly PlannedSheet[], title: string, constants: DefinedConstants): Generator<PackagePart> {
  const styles = new StyleBook();
  const part = (name: string, text: () => string): PackagePart => ({ name, text: () => [text()] });
  yield part('[Content_Types].xml', () => contentTypes(sheets));
  yield part('_rels/.rels', () =>
    relationships([
      ['rId1', `${OFFICE}/officeDocument`, 'xl/workbook.xml'],
      ['rId2', `${PACKAGE}/relationships/metadata/core-properties`, 'docProps/core.xml'],
    ]),
  );
  yield part('docProps/core.xml', () => coreProperties(title));
  for (const sheet of sheets) yield* sheetParts(sheet, styles, part);
  yield part('xl/styles.xml', () => styles.xml());
  yield part('xl/_rels/workbook.xml.rels', () =>
    relationships([
      ...sheets.map(({ number }): Relation => [`rId${number}`, `${OFFICE}/worksheet`, `worksheets/sheet${number}.xml`]),
      ['rIdStyles', `${OFFICE}/styles`, 'styles.xml'],
    ]),
  );
  // Last: its names need to know where the tables ended.
  yield part('xl/workbook.xml', () => workbookXml(sheets, constants));
}

function* sheetParts(
  { draft, number, place, notes }: PlannedSheet,
  styles: StyleBook,
  part: (name: string, text: () => string) => PackagePart,
): Generator<PackagePart> {
  const { chart } = draft;
  const relations: SheetRelations = {
    table: 'rIdTable',
    notes: notes.length > 0 ? 'rIdBoxes' : null,
    drawing: chart ? 'rIdDrawing' : null,
  };
  yield {
    name: `xl/worksheets/sheet${number}.xml`,
    text: () => sheetXml(draft, place, styles, relations, number === 1),
  };
  yield part(`xl/worksheets/_rels/sheet${number}.xml.rels`, () =>
    relationships([
      ['rIdTable', `${OFFICE}/table`, `../tables/table${number}.xml`],
      ...(relations.notes ? noteRelations(number) : []),
      ...(chart ? [['rIdDrawing', `${OFFICE}/drawing`, `../drawings/drawing${number}.xml`] as const] : []),
    ]),
  );
  yield part(`xl/tables/table${number}.xml`, () => tableXml(draft, place, number));
  if (relations.notes) {
    yield part(`xl/comments${number}.xml`, () => commentsXml(notes));
    yield part(`xl/drawings/vmlDrawing${number}.vml`, () => noteBoxesXml(notes));
  }
  if (chart) {
    yield part(`xl/drawings/drawing${number}.xml`, () => drawingXml(draft));
    yield part(`xl/drawings/_rels/drawing${number}.xml.rels`, () =>
      relationships([['rId1', `${OFFICE}/chart`, `../charts/chart${number}.xml`]]),
    );
    yield part(`xl/charts/chart${number}.xml`, () => chartXml(draft, chart, place));
  }
}

const noteRelations = (number: number): readonly Relation[] => [
  ['rIdNotes', `${OFFICE}/comments`, `../comments${number}.xml`],
  ['rIdBoxes', `${OFFICE}/vmlDrawing`, `../drawings/vmlDrawing${number}.vml`],
];

function workbookXml(sheets: readonly PlannedSheet[], constants: DefinedConstants): string {
  const listed = sheets.map(({ draft: { name, hidden }, number }) => {
    const state = hidden === undefined ? '' : ` state="${hidden === 'very' ? 'veryHidden' : 'hidden'}"`;
    return `<sheet name="${xmlText(name)}" sheetId="${number}"${state} r:id="rId${number}"/>`;
  });
  const fixed = Object.entries(constants).map(([name, value]) => `<definedName name="${name}">${value}</definedName>`);
  const names = [...sheets.flatMap(definedNames), ...fixed];
  const defined = names.length === 0 ? '' : `<definedNames>${names.join('')}</definedNames>`;
  return `${XML_HEAD}<workbook xmlns="${MAIN}" xmlns:r="${OFFICE}"><workbookPr date1904="0"/><bookViews><workbookView xWindow="0" yWindow="0" windowWidth="24000" windowHeight="14000" activeTab="0"/></bookViews><sheets>${listed.join('')}</sheets>${defined}<calcPr calcId="191029"/></workbook>`;
}

function definedNames({ draft, number, place }: PlannedSheet): string[] {
  const sheet = `'${draft.name.replaceAll("'", "''")}'`;
  const printed = `<definedName name="_xlnm.Print_Titles" localSheetId="${number - 1}">${xmlText(`${sheet}!$${place.headRow}:$${place.headRow}`)}</definedName>`;
  const own = Object.entries(draft.names ?? {}).map(([header, name]) => {
    const letters = columnLetters(draft.columns.findIndex((column) => column.header === header) + 1);
    const last = Math.max(place.headRow + 1, lastRow(place));
    return `<definedName name="${xmlText(name)}">${xmlText(`${sheet}!$${letters}$${place.headRow + 1}:$${letters}$${last}`)}</definedName>`;
  });
  return [printed, ...own];
}

function contentTypes(sheets: readonly PlannedSheet[]): string {
  const override = (name: string, type: string) => `<Override PartName="/${name}" ContentType="${type}"/>`;
  const ofSheets = sheets.map(({ draft, number, notes }) =>
    [
      override(`xl/worksheets/sheet${number}.xml`, `${SHEET_TYPE}.worksheet+xml`),
      override(`xl/tables/table${number}.xml`, `${SHEET_TYPE}.table+xml`),
      notes.length > 0 ? override(`xl/comments${number}.xml`, `${SHEET_TYPE}.comments+xml`) : '',
      draft.chart
        ? override(`xl/drawings/drawing${number}.xml`, 'application/vnd.openxmlformats-officedocument.drawing+xml') +
          override(`xl/charts/chart${number}.xml`, 'application/vnd.openxmlformats-officedocument.drawingml.chart+xml')
        : '',
    ].join(''),
  );
  return `${XML_HEAD}<Types xmlns="${PACKAGE}/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="xml" ContentType="application/xml"/><Default Extension="vml" ContentType="application/vnd.openxmlformats-officedocument.vmlDrawing"/>${override('xl/workbook.xml', `${SHEET_TYPE}.sheet.main+xml`)}${override('xl/styles.xml', `${SHEET_TYPE}.styles+xml`)}${override('docProps/core.xml', 'application/vnd.openxmlformats-package.core-properties+xml')}${ofSheets.join('')}</Types>`;
}

type Relation = readonly [id: string, type: string, target: string];

function relationships(found: readonly Relation[]): string {
  const listed = found.map(([id, type, target]) => `<Relationship Id="${id}" Type="${type}" Target="${target}"/>`);
  return `${XML_HEAD}<Relationships xmlns="${PACKAGE}/relationships">${listed.join('')}</Relationships>`;
}

function coreProperties(title: string): string {
  return `${XML_HEAD}<cp:coreProperties xmlns:cp="${PACKAGE}/metadata/core-properties" xmlns:dc="http://purl.org/dc/elements/1.1/"><dc:title>${xmlText(title)}</dc:title><dc:creator>Jarfold</dc:creator></cp:coreProperties>`;
}
