import { posix } from 'node:path';
import type { FileProblem } from '@jarfold/domain';
import { address, parseAddress } from '../cells/address.js';
import { commentsXml, noteBoxesXml } from '../writing/notes-xml.js';
import { XML_HEAD, xmlText } from '../writing/xml-text.js';
import { packedPart, type RawPart, rawParts, unpacked, writeRawZip } from './raw-zip.js';

/** The sheet that is put in front. Readers pass it over. */
export const MISTAKES_SHEET = 'Mistakes';
/** Notes of this author are ours: the next marking takes them away again. */
const AUTHOR = 'Jarfold: mistake';

const OFFICE = 'http://schemas.openxmlformats.org/officeDocument/2006/relationships';
const MAIN = 'http://schemas.openxmlformats.org/spreadsheetml/2006/main';
const SHEET_TYPE = 'application/vnd.openxmlformats-officedocument.spreadsheetml';

/**
 * The person's own file with its mistakes in it: a sheet in front that lists them with links, and a note on each cell.
 * Parts that need no change stay byte by byte as they were. The copy can be corrected and sent back: the list and the
 * notes are no rows of any table, and a second marking takes the place of the first.
 *
 * For .xlsx files the reader could open: their limits are checked there.
 */
export function markProblems(bytes: Buffer, problems: readonly FileProblem[]): Buffer {
  const file = new PackageEdit(rawParts(bytes));
  for (const sheet of file.sheets()) {
    const own = problems.filter((problem) => problem.sheet === sheet.name && problem.cell !== null);
    if (own.length > 0 || file.hasOurNotes(sheet.part)) file.note(sheet.part, own);
  }
  file.putInFront(problems);
  return writeRawZip(file.parts());
}

interface SheetPlace {
  readonly name: string;
  readonly part: string;
}

/** A package with some parts replaced and some added. */
class PackageEdit {
  readonly #order: readonly RawPart[];
  readonly #edited = new Map<string, string>();
  readonly #byName: ReadonlyMap<string, RawPart>;
  readonly #workbook: string;

  constructor(parts: readonly RawPart[]) {
    this.#order = parts;
    this.#byName = new Map(parts.map((part) => [part.name.replace(/^\/+/, ''), part]));
    this.#workbook = this.#related('', 'officeDocument')?.target ?? 'xl/workbook.xml';
  }

  parts(): RawPart[] {
    const kept = this.#order.map((part) => {
      const text = this.#edited.get(part.name.replace(/^\/+/, ''));
      return text === undefined ? part : packedPart(part.name, text);
    });
    const added = [...this.#edited].filter(([name]) => !this.#byName.has(name));
    return [...kept, ...added.map(([name, text]) => packedPart(name, text))];
  }

  sheets(): SheetPlace[] {
    const relations = this.#relations(this.#workbook);
    return [...this.#text(this.#workbook).matchAll(/<(?:\w+:)?sheet\s([^>]*?)\/?>/g)].flatMap(([, attributes = '']) => {
      const id = /\w+:id="([^"]*)"/.exec(attributes)?.[1];
      const part = relations.find((relation) => relation.id === id)?.target;
      return part === undefined ? [] : [{ name: plainText(/\bname="([^"]*)"/.exec(attributes)?.[1] ?? ''), part }];
    });
  }

  hasOurNotes(sheet: string): boolean {
    const comments = this.#related(sheet, 'comments')?.target;
    return comments !== undefined && this.#text(comments).includes(AUTHOR);
  }

  /** Puts notes on cells of a sheet; those of an earlier marking are taken away. */
  note(sheet: string, problems: readonly FileProblem[]): void {
    const notes = notesOf(problems);
    const comments = this.#related(sheet, 'comments')?.target;
    const boxes = this.#related(sheet, 'vmlDrawing')?.target;
    if (comments !== undefined && boxes !== undefined) this.#addNotes(comments, boxes, notes);
    else this.#newNotes(sheet, notes);
  }

  /** The list of mistakes as the first sheet; an earlier one is written over. */
  putInFront(problems: readonly FileProblem[]): void {
    const standing = this.sheets().find(({ name }) => name === MISTAKES_SHEET);
    if (standing) {
      this.#edited.set(standing.part, mistakesSheet(problems));
      return;
    }
    const folder = posix.dirname(this.#workbook);
    const part = posix.join(folder, 'worksheets', this.#freeName(posix.join(folder, 'worksheets'), 'sheet'));
    this.#edited.set(part, mistakesSheet(problems));
    this.#typed(part, `${SHEET_TYPE}.worksheet+xml`);
    const id = this.#relate(this.#workbook, 'worksheet', part);
    this.#edited.set(this.#workbook, withFirstSheet(this.#text(this.#workbook), id));
  }

  #addNotes(comments: string, boxes: string, notes: readonly Note[]): void {
    const { text, removed } = withoutOurNotes(this.#text(comments));
    const taken = new Set(notes.map(({ row, column }) => address(column, row)));
    const authors = (text.match(/<(?:\w+:)?author[\s>/]/g) ?? []).length;
    // A cell has one note: the person's own text is kept above ours.
    const own = new Map<string, string>();
    const rest = text.replace(
      /<(\w+:)?comment\s[^>]*\bref="([^"]*)"[\s\S]*?<\/\1?comment>/g,
      (found, _, ref: string) => {
        if (!taken.has(ref)) return found;
        own.set(
          ref,
          plainText([...found.matchAll(/<(?:\w+:)?t[^>]*>([^<]*)</g)].map(([, each = '']) => each).join('')),
        );
        return '';
      },
    );
    const prefix = /<(\w+:)?comments[\s>]/.exec(text)?.[1] ?? '';
    const written = notes.map(({ row, column, text: note }) => {
      const ref = address(column, row);
      const before = own.has(ref) ? `${own.get(ref)}\n\n` : '';
      return `<${prefix}comment ref="${ref}" authorId="${authors}"><${prefix}text><${prefix}r><${prefix}t xml:space="preserve">${xmlText(before + note)}</${prefix}t></${prefix}r></${prefix}text></${prefix}comment>`;
    });
    const withAuthor = rest.replace(/<\/(\w+:)?authors>/, `<${prefix}author>${AUTHOR}</${prefix}author>$&`);
    this.#edited.set(comments, withAuthor.replace(/<\/(\w+:)?commentList>/, `${written.join('')}$&`));
    const fresh = notes.filter(({ row, column }) => !own.has(address(column, row)));
    this.#edited.set(boxes, withBoxes(withoutBoxes(this.#text(boxes), removed), fresh));
  }

  #newNotes(sheet: string, notes: readonly Note[]): void {
    const folder = posix.dirname(posix.dirname(sheet));
    const comments = posix.join(folder, this.#freeName(folder, 'comments'));
    const drawings = posix.join(folder, 'drawings');
    const boxes = posix.join(drawings, this.#freeName(drawings, 'vmlDrawing', 'vml'));
    this.#edited.set(comments, commentsXml(notes).replace('<author>Jarfold</author>', `<author>${AUTHOR}</author>`));
    this.#edited.set(boxes, noteBoxesXml(notes));
    this.#typed(comments, `${SHEET_TYPE}.comments+xml`);
    this.#knownExtension('vml', 'application/vnd.openxmlformats-officedocument.vmlDrawing');
    this.#relate(sheet, 'comments', comments);
    const id = this.#relate(sheet, 'vmlDrawing', boxes);
    this.#edited.set(sheet, withLegacyDrawing(this.#text(sheet), id));
  }

  #text(name: string): string {
    const edited = this.#edited.get(name);
    if (edited !== undefined) return edited;
    const part = this.#byName.get(name);
    return part === undefined ? '' : unpacked(part);
  }

  #relations(part: string): { readonly id: string; readonly type: string; readonly target: string }[] {
    const folder = posix.dirname(part);
    return [...this.#text(relationsPart(part)).matchAll(/<(?:\w+:)?Relationship\s([^>]*?)\/?>/g)].map(
      ([, attributes = '']) => {
        const of = (name: string) => plainText(new RegExp(`\\b${name}="([^"]*)"`).exec(attributes)?.[1] ?? '');
        const target = of('Target');
        return {
          id: of('Id'),
          type: of('Type').slice(of('Type').lastIndexOf('/') + 1),
          target: target.startsWith('/') ? target.slice(1) : posix.join(folder, target),
        };
      },
    );
  }

  #related(part: string, type: string) {
    return this.#relations(part).find((relation) => relation.type === type);
  }

  /** Adds a relationship and answers its id. */
  #relate(part: string, type: string, target: string): string {
    const name = relationsPart(part);
    const text =
      this.#text(name) ||
      `${XML_HEAD}<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"></Relationships>`;
    const ids = new Set(this.#relations(part).map(({ id }) => id));
    let number = 1;
    while (ids.has(`rIdJarfold${number}`)) number += 1;
    const id = `rIdJarfold${number}`;
    const relation = `<Relationship Id="${id}" Type="${OFFICE}/${type}" Target="${posix.relative(posix.dirname(part), target)}"/>`;
    this.#edited.set(
      name,
      text
        .replace(/<((?:\w+:)?Relationships)([^>]*)\/>\s*$/, '<$1$2></$1>')
        .replace(/<\/(\w+:)?Relationships>/, `${relation}$&`),
    );
    return id;
  }

  #typed(part: string, type: string): void {
    this.#types((text) => text.replace(/<\/(\w+:)?Types>/, `<Override PartName="/${part}" ContentType="${type}"/>$&`));
  }

  #knownExtension(extension: string, type: string): void {
    if (new RegExp(`Extension="${extension}"`, 'i').test(this.#text('[Content_Types].xml'))) return;
    this.#types((text) =>
      text.replace(/<(?:\w+:)?Types[^>]*>/, `$&<Default Extension="${extension}" ContentType="${type}"/>`),
    );
  }

  #types(edit: (text: string) => string): void {
    this.#edited.set('[Content_Types].xml', edit(this.#text('[Content_Types].xml')));
  }

  #freeName(folder: string, stem: string, extension = 'xml'): string {
    let number = 1;
    const taken = (name: string) =>
      this.#byName.has(posix.join(folder, name)) || this.#edited.has(posix.join(folder, name));
    while (taken(`${stem}${number}.${extension}`)) number += 1;
    return `${stem}${number}.${extension}`;
  }
}

const relationsPart = (part: string) => posix.join(posix.dirname(part), '_rels', `${posix.basename(part)}.rels`);

interface Note {
  readonly row: number;
  readonly column: number;
  readonly text: string;
}

/** One note to a cell, whatever is wrong with it. */
function notesOf(problems: readonly FileProblem[]): Note[] {
  const byCell = new Map<string, string[]>();
  for (const { cell, rule, advice } of problems) {
    if (cell !== null) byCell.set(cell, [...(byCell.get(cell) ?? []), `${rule} ${advice}`]);
  }
  return [...byCell].flatMap(([cell, texts]) => {
    const place = parseAddress(cell);
    return place === null ? [] : [{ ...place, text: texts.join('\n') }];
  });
}

function withFirstSheet(workbook: string, id: string): string {
  const numbers = [...workbook.matchAll(/\bsheetId="(\d+)"/g)].map(([, number]) => Number(number));
  const prefix = /<(\w+:)?workbook[\s>]/.exec(workbook)?.[1] ?? '';
  const sheet = `<${prefix}sheet xmlns:r="${OFFICE}" name="${MISTAKES_SHEET}" sheetId="${Math.max(0, ...numbers) + 1}" r:id="${id}"/>`;
  return workbook
    .replace(/<(?:\w+:)?sheets\s*>/, `$&${sheet}`)
    .replace(/\blocalSheetId="(\d+)"/g, (_, number: string) => `localSheetId="${Number(number) + 1}"`)
    .replace(/\bactiveTab="\d+"/, 'activeTab="0"')
    .replace(/\bfirstSheet="\d+"/, 'firstSheet="0"');
}

/** Its place is fixed by the schema: behind everything but these. */
function withLegacyDrawing(sheet: string, id: string): string {
  const prefix = /<(\w+:)?worksheet[\s>]/.exec(sheet)?.[1] ?? '';
  const after =
    /<(?:\w+:)?(?:legacyDrawingHF|drawingHF|picture|oleObjects|controls|webPublishItems|tableParts|extLst)[\s>/]|<\/(?:\w+:)?worksheet>/;
  const from = sheet.search(/<\/(?:\w+:)?sheetData>|<(?:\w+:)?sheetData\s*\/>/);
  const at = from + sheet.slice(from).search(after);
  return `${sheet.slice(0, at)}<${prefix}legacyDrawing xmlns:r="${OFFICE}" r:id="${id}"/>${sheet.slice(at)}`;
}

function withoutOurNotes(text: string): { readonly text: string; readonly removed: ReadonlySet<string> } {
  const authors = [...text.matchAll(/<(\w+:)?author(?:\s[^>]*)?>([^<]*)<\/\1?author>|<(?:\w+:)?author\s*\/>/g)];
  const ours = new Set(authors.flatMap(([, , name], at) => (name === AUTHOR ? [String(at)] : [])));
  const removed = new Set<string>();
  const kept = text.replace(/<(\w+:)?comment\s([^>]*)>[\s\S]*?<\/\1?comment>/g, (found, _, attributes: string) => {
    if (!ours.has(/\bauthorId="(\d+)"/.exec(attributes)?.[1] ?? '')) return found;
    removed.add(/\bref="([^"]*)"/.exec(attributes)?.[1] ?? '');
    return '';
  });
  return { text: kept, removed };
}

/** Shapes of notes that are gone. */
function withoutBoxes(boxes: string, removed: ReadonlySet<string>): string {
  return boxes.replace(/<v:shape\s[\s\S]*?<\/v:shape>/g, (shape) => {
    const row = Number(/<x:Row>(\d+)</.exec(shape)?.[1] ?? Number.NaN);
    const column = Number(/<x:Column>(\d+)</.exec(shape)?.[1] ?? Number.NaN);
    return removed.has(address(column + 1, row + 1)) ? '' : shape;
  });
}

function withBoxes(boxes: string, notes: readonly Note[]): string {
  const shapes = /<v:shape\s[\s\S]*<\/v:shape>/.exec(noteBoxesXml(notes))?.[0] ?? '';
  const used = (boxes.match(/_x0000_s\d+/g) ?? []).map((id) => Number(id.slice(8)));
  const from = Math.max(1024, ...used) + 1;
  const renamed = shapes.replace(/_x0000_s(\d+)/g, (_, id: string) => `_x0000_s${Number(id) - 1025 + from}`);
  return boxes.replace(/<\/xml>\s*$/, `${renamed}</xml>`);
}

/** Plain cells with links; no styles are needed, so the workbook's own stay as they are. */
function mistakesSheet(problems: readonly FileProblem[]): string {
  const count = problems.length === 0 ? 'Nothing' : problems.length === 1 ? 'One thing' : `${problems.length} things`;
  const text = (cell: string, value: string) =>
    `<c r="${cell}" t="inlineStr"><is><t xml:space="preserve">${xmlText(value)}</t></is></c>`;
  const place = ({ sheet, cell }: FileProblem) => [sheet, cell].filter(Boolean).join('!') || 'The file';
  const rows = problems.map((problem, at) => {
    const row = at + 4;
    const { column, value, rule, advice } = problem;
    const cells = [place(problem), column ?? '', value ?? '', rule, advice];
    return `<row r="${row}">${cells.map((each, index) => text(address(index + 1, row), each)).join('')}</row>`;
  });
  const links = problems.flatMap(({ sheet, cell }, at) =>
    sheet !== null && cell !== null
      ? [`<hyperlink ref="A${at + 4}" location="${xmlText(`'${sheet.replaceAll("'", "''")}'!${cell}`)}"/>`]
      : [],
  );
  const headings = ['Where', 'Column', 'Seen', 'What is wrong', 'What to do'];
  const widths = [22, 22, 22, 60, 60];
  return `${XML_HEAD}<worksheet xmlns="${MAIN}"><sheetViews><sheetView tabSelected="1" workbookViewId="0"/></sheetViews><cols>${widths.map((width, at) => `<col min="${at + 1}" max="${at + 1}" width="${width}" customWidth="1"/>`).join('')}</cols><sheetData><row r="1">${text('A1', `${count} to put right. Correct the cells, save, and send the file again; this sheet may stay.`)}</row><row r="3">${headings.map((heading, at) => text(address(at + 1, 3), heading)).join('')}</row>${rows.join('')}</sheetData>${links.length > 0 ? `<hyperlinks>${links.join('')}</hyperlinks>` : ''}</worksheet>`;
}

const ENTITIES: Readonly<Record<string, string>> = { amp: '&', lt: '<', gt: '>', quot: '"', apos: "'" };

function plainText(text: string): string {
  return text.replace(/&(?:#(\d+)|#x([0-9a-f]+)|(\w+));/gi, (found, decimal?: string, hex?: string, name?: string) => {
    if (decimal !== undefined) return String.fromCodePoint(Number(decimal));
    if (hex !== undefined) return String.fromCodePoint(Number.parseInt(hex, 16));
    return ENTITIES[name ?? ''] ?? found;
  });
}
