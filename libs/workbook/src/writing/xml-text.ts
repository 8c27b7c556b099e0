import { safeText } from './safe-text.js';

const SPECIAL: Readonly<Record<string, string>> = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;' };
const NEEDS_CARE = /[&<>"]|(?![\n\t])\p{Cc}|_x[0-9A-Fa-f]{4}_|[\ud800-\udfff\ufffe\uffff]/u;
/** Halves of a character and two codes that XML does not know. */
const NOT_XML = /[\ud800-\udbff](?![\udc00-\udfff])|(?<![\ud800-\udbff])[\udc00-\udfff]|[\ufffe\uffff]/g;

/** Text as it may stand in an element or an attribute. */
export function xmlText(text: string): string {
  if (!NEEDS_CARE.test(text)) return text;
  return safeText(text.replace(NOT_XML, '\ufffd')).replace(/[&<>"]/g, (found) => SPECIAL[found] ?? found);
}

export const XML_HEAD = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n';
