import { unescapeText } from './escaped-text.js';
import type { WorkbookLimits } from './limits.js';
import { requireTextLength } from './text-length.js';
import { readXml } from './xml-events.js';

/** The texts cells refer to by number. Formatting inside a text is dropped; pronunciation notes are not part of it. */
export function readSharedStrings(part: string, bytes: Buffer, limits: WorkbookLimits): readonly string[] {
  const texts: string[] = [];
  let current = '';
  let inText = false;
  let inPhonetic = false;
  readXml(part, bytes, {
    open(name) {
      if (name === 'si') current = '';
      if (name === 'rPh') inPhonetic = true;
      if (name === 't') inText = !inPhonetic;
    },
    text(text) {
      if (inText) current = requireTextLength(current + text, part, limits);
    },
    close(name) {
      if (name === 't') inText = false;
      if (name === 'rPh') inPhonetic = false;
      if (name === 'si') texts.push(unescapeText(current));
    },
  });
  return texts;
}
