import { SaxesParser } from 'saxes';
import { UnreadableWorkbook, unreadable } from '../problem.js';

export type XmlAttributes = Readonly<Record<string, string>>;

/** Names of elements come without their namespace prefix: the parts of a workbook use one namespace each. */
export interface XmlEvents {
  open?(name: string, attributes: XmlAttributes): void;
  close?(name: string): void;
  text?(text: string): void;
}

const CHUNK_BYTES = 1 << 16;

/**
 * Reads one XML part. Document types, and with them entities of any kind, are refused: no workbook has them.
 * @throws UnreadableWorkbook when the part is not well-formed UTF-8 XML or declares a document type
 */
export function readXml(part: string, bytes: Buffer, events: XmlEvents): void {
  const parser = new SaxesParser({ xmlns: false, position: false });
  parser.on('doctype', () => {
    throw unreadable(
      'dangerous-content',
      `The part ${part} declares a document type, which no workbook does.`,
      'Open it in a spreadsheet program and save it again.',
    );
  });
  parser.on('error', (error) => {
    throw error;
  });
  parser.on('opentag', (tag) => events.open?.(localName(tag.name), tag.attributes));
  parser.on('closetag', (tag) => events.close?.(localName(tag.name)));
  if (events.text) {
    const text = (value: string) => events.text?.(value);
    parser.on('text', text);
    parser.on('cdata', text);
  }
  feed(part, bytes, parser);
}

function feed(part: string, bytes: Buffer, parser: SaxesParser<{ xmlns: false; position: false }>): void {
  const decoder = new TextDecoder('utf-8', { fatal: true });
  try {
    for (let start = 0; start < bytes.length; start += CHUNK_BYTES) {
      parser.write(decoder.decode(bytes.subarray(start, start + CHUNK_BYTES), { stream: true }));
    }
    parser.write(decoder.decode());
    parser.close();
  } catch (error) {
    if (error instanceof UnreadableWorkbook) throw error;
    throw unreadable(
      'damaged',
      `The part ${part} is damaged: ${error instanceof Error ? error.message : String(error)}`,
      'Open the file in a spreadsheet program, let it repair it, and save it again.',
    );
  }
}

const localName = (name: string) => {
  const colon = name.indexOf(':');
  return colon < 0 ? name : name.slice(colon + 1);
};
