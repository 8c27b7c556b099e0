import { isUtf8 } from 'node:buffer';
import { unreadable } from '../problem.js';

export type TextEncoding = 'UTF-8' | 'UTF-16' | 'Windows-1252';

export interface DecodedText {
  readonly text: string;
  readonly encoding: TextEncoding;
}

const SAMPLE = 4096;
/** Share of zero bytes on one side of each pair from which text without a mark counts as UTF-16. */
const UTF16_SHARE = 0.3;

/**
 * Decodes a text file: by its mark, else as UTF-16 when every other byte is zero, else as UTF-8 when it is valid UTF-8
 * throughout, else as Windows-1252, in which every byte is a letter. Source of the encodings: WHATWG Encoding Standard.
 * @throws UnreadableWorkbook when the bytes are no text
 */
export function decodeText(bytes: Buffer): DecodedText {
  const utf16 = utf16Label(bytes);
  if (utf16 !== null) return checked({ text: decode(bytes, utf16), encoding: 'UTF-16' });
  if (isUtf8(bytes)) return checked({ text: decode(bytes, 'utf-8'), encoding: 'UTF-8' });
  return checked({ text: decode(bytes, 'windows-1252'), encoding: 'Windows-1252' });
}

const decode = (bytes: Buffer, label: string): string => new TextDecoder(label).decode(bytes);

function utf16Label(bytes: Buffer): string | null {
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return 'utf-16le';
  if (bytes[0] === 0xfe && bytes[1] === 0xff) return 'utf-16be';
  const sample = bytes.subarray(0, SAMPLE);
  const zeros = [0, 0];
  for (let at = 0; at < sample.length; at += 1) if (sample[at] === 0) zeros[at % 2]! += 1;
  const enough = (sample.length / 2) * UTF16_SHARE;
  if (zeros[1]! > enough && zeros[0] === 0) return 'utf-16le';
  return zeros[0]! > enough && zeros[1] === 0 ? 'utf-16be' : null;
}

function checked(decoded: DecodedText): DecodedText {
  // Tabs and line ends apart, text has no control characters; pictures and programs do.
  if (!/[^\P{Cc}\t\n\v\f\r\u0080-\u009f]/u.test(decoded.text)) return decoded;
  throw unreadable(
    'not-a-workbook',
    'This is neither an Excel workbook nor a text file of cells.',
    'Save your sheet as an Excel workbook (.xlsx) or as CSV.',
  );
}
