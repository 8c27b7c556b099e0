import { posix } from 'node:path';
import { unreadable } from '../problem.js';
import type { PackageParts } from './open-package.js';
import { readXml, type XmlAttributes } from './xml-events.js';

/** Where the parts of a workbook lie, found by following its relationships. */
export interface WorkbookParts {
  readonly sheets: readonly { readonly name: string; readonly hidden: boolean; readonly part: string }[];
  readonly sharedStrings: string | null;
  readonly styles: string | null;
  readonly date1904: boolean;
}

interface Relationship {
  readonly id: string;
  /** Last word of the type's address: `worksheet`, `styles` … */
  readonly type: string;
  readonly part: string;
}

const NOT_A_WORKBOOK = 'Save your sheets as an Excel workbook (.xlsx).';

/** @throws UnreadableWorkbook when the package is something else than a workbook */
export function findWorkbookParts(parts: PackageParts): WorkbookParts {
  const workbook = relationshipsOf('', parts).find(({ type }) => type === 'officeDocument')?.part;
  const bytes = workbook === undefined ? undefined : parts.get(workbook);
  if (workbook === undefined || !bytes) {
    throw unreadable('not-a-workbook', 'This is a zip file, but not a workbook.', NOT_A_WORKBOOK);
  }
  const related = relationshipsOf(workbook, parts);
  const { date1904, sheets } = readWorkbookPart(workbook, bytes);
  const partOf = (type: string) => related.find((relationship) => relationship.type === type)?.part ?? null;
  return {
    date1904,
    sharedStrings: partOf('sharedStrings'),
    styles: partOf('styles'),
    sheets: sheets.flatMap(({ name, hidden, id }) => {
      const target = related.find((relationship) => relationship.id === id && relationship.type === 'worksheet');
      return target ? [{ name, hidden, part: target.part }] : [];
    }),
  };
}

function readWorkbookPart(part: string, bytes: Buffer) {
  const sheets: { name: string; hidden: boolean; id: string }[] = [];
  let date1904 = false;
  let root = '';
  readXml(part, bytes, {
    open(name, attributes) {
      root ||= name;
      if (name === 'workbookPr') date1904 = /^(1|true)$/.test(attributes.date1904 ?? '');
      if (name === 'sheet') {
        const { name: title = '', state = 'visible' } = attributes;
        sheets.push({ name: title, hidden: state !== 'visible', id: relationshipId(attributes) });
      }
    },
  });
  if (root !== 'workbook') {
    throw unreadable('not-a-workbook', `This is an office file, but its main part is a "${root}".`, NOT_A_WORKBOOK);
  }
  return { date1904, sheets };
}

/** `r:id`, whatever the file calls the namespace. */
function relationshipId(attributes: XmlAttributes): string {
  return Object.entries(attributes).find(([name]) => /:id$/.test(name))?.[1] ?? '';
}

function relationshipsOf(part: string, parts: PackageParts): readonly Relationship[] {
  const folder = posix.dirname(part);
  const name = posix.join(folder, '_rels', `${posix.basename(part)}.rels`);
  const bytes = parts.get(name);
  if (!bytes) return [];
  const found: Relationship[] = [];
  readXml(name, bytes, {
    open(element, { Id = '', Type = '', Target = '', TargetMode }) {
      if (element !== 'Relationship' || TargetMode === 'External') return;
      const target = Target.startsWith('/') ? Target.slice(1) : posix.join(folder, Target);
      found.push({ id: Id, type: Type.slice(Type.lastIndexOf('/') + 1), part: target });
    },
  });
  return found;
}
