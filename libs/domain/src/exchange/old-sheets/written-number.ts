/** A number written as text, in each way it can be read: a reading is null where the text is no number that way. */
export interface NumberReadings {
  /** With a decimal point; commas part thousands. */
  readonly point: number | null;
  /** With a decimal comma; points part thousands. */
  readonly comma: number | null;
  /** What stands behind the digits, such as `kg`; empty for nothing. */
  readonly behind: string;
}

export type DecimalMark = 'point' | 'comma';

const DIGITS_THEN_WORDS = /^([+\-−]?\d[\d.,' ’\u00a0\u202f]*|[+\-−]?[.,]\d+)\s*(.*)$/u;
const GROUP = String.raw`[1-9]\d{0,2}`;
const WITH_POINT = new RegExp(String.raw`^-?(\d*|${GROUP}(,\d{3})+)(\.\d+)?$`);
const WITH_COMMA = new RegExp(String.raw`^-?(\d*|${GROUP}(\.\d{3})+)(,\d+)?$`);
const SPACED = new RegExp(String.raw`^-?${GROUP}([ '’\u00a0\u202f]\d{3})+([.,]\d+)?$`);

/**
 * Reads a number written as text in both ways people write one. `1.234` is 1.234 to some and 1234 to others: both are
 * given, and whoever asks decides or asks in turn.
 * @returns null when the text begins with no number at all
 * @example numberReadings('1.234') // { point: 1.234, comma: 1234, behind: '' }
 * @example numberReadings('1,5 kg') // { point: null, comma: 1.5, behind: 'kg' }
 */
export function numberReadings(text: string): NumberReadings | null {
  const match = DIGITS_THEN_WORDS.exec(text.trim());
  if (match === null) return null;
  const written = (match[1] ?? '').replace('−', '-').replace(/^\+/, '').trim();
  const digits = SPACED.test(written) ? written.replace(/[ '’\u00a0\u202f]/g, '') : written;
  const point = WITH_POINT.test(digits) ? Number(digits.replaceAll(',', '')) : null;
  const comma = WITH_COMMA.test(digits) ? Number(digits.replaceAll('.', '').replace(',', '.')) : null;
  return point === null && comma === null ? null : { point, comma, behind: (match[2] ?? '').trim() };
}

/** Whether the two ways give two numbers. */
export function isTwoNumbers({ point, comma }: NumberReadings): boolean {
  return point !== null && comma !== null && point !== comma;
}
