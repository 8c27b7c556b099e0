import { requireThat } from '../errors.js';

/**
 * JSON with one spelling per value, after RFC 8785 (JSON Canonicalization Scheme): no white space, object members
 * sorted by UTF-16 code units, numbers and strings as ECMAScript writes them. Equal values give equal bytes, so a hash
 * of the bytes can be checked by anyone with any language. Members that are `undefined` are left out.
 *
 * @throws DomainError `not-canonical` for what JSON cannot carry: NaN, infinities, functions, lone surrogates.
 * @example canonicalJson({ b: 1.0, a: [true, null] }) // '{"a":[true,null],"b":1}'
 */
export function canonicalJson(value: unknown): string {
  if (value === null || typeof value === 'boolean') return String(value);
  if (typeof value === 'number') return canonicalNumber(value);
  if (typeof value === 'string') return canonicalString(value);
  if (Array.isArray(value)) return `[${value.map(canonicalJson).join(',')}]`;
  requireThat(typeof value === 'object', 'not-canonical', `JSON cannot carry a ${typeof value}.`);
  return canonicalObject(value as Readonly<Record<string, unknown>>);
}

function canonicalNumber(value: number): string {
  requireThat(Number.isFinite(value), 'not-canonical', `JSON cannot carry the number ${value}.`);
  return JSON.stringify(value);
}

function canonicalString(value: string): string {
  requireThat(isWellFormed(value), 'not-canonical', 'The text holds half of a surrogate pair.');
  return JSON.stringify(value);
}

/** Whether every surrogate in the text has its partner. */
export function isWellFormed(text: string): boolean {
  return !/[\uD800-\uDBFF](?![\uDC00-\uDFFF])|(?<![\uD800-\uDBFF])[\uDC00-\uDFFF]/.test(text);
}

function canonicalObject(value: Readonly<Record<string, unknown>>): string {
  const members = Object.keys(value)
    .filter((key) => value[key] !== undefined)
    .sort() // by UTF-16 code units, as RFC 8785 section 3.2.3 asks
    .map((key) => `${canonicalString(key)}:${canonicalJson(value[key])}`);
  return `{${members.join(',')}}`;
}
