import { z } from 'zod';

type Mistake = z.core.$ZodRawIssue;

/**
 * What is wrong with a value, in words for whoever wrote it, where a contract has none of its own. Where it stands is told
 * beside it, by pointer.
 */
export function plainMistake(mistake: Mistake): string {
  switch (mistake.code) {
    case 'invalid_type':
      return wrongType(mistake);
    case 'invalid_value':
      return oneOf(mistake.values);
    case 'too_small':
      return tooSmall(mistake);
    case 'too_big':
      return tooBig(mistake);
    case 'invalid_format':
      return FORMATS[mistake.format] ?? 'This is not written as it must be here.';
    case 'not_multiple_of':
      return `A multiple of ${mistake.divisor} is needed here.`;
    case 'unrecognized_keys':
      return `Not known here: ${mistake.keys.join(', ')}. Remove it or check its spelling.`;
    case 'invalid_union':
      return noForm(mistake);
    case 'invalid_key':
      return 'A name in here is not written as it must be.';
    case 'invalid_element':
      return 'A value in here is not of the kind that is needed.';
    default:
      return 'This value is not allowed here.';
  }
}

/** Makes every schema of this process speak so. Words given with one parse or one schema go before these. */
export function speakPlainly(): void {
  z.config({ localeError: plainMistake });
}

const KINDS: Readonly<Record<string, string>> = {
  array: 'A list',
  boolean: 'true or false',
  date: 'A moment',
  int: 'A whole number',
  number: 'A number',
  object: 'An object of named values',
  record: 'An object of named values',
  string: 'Text',
};

const FORMATS: Readonly<Record<string, string>> = {
  date: 'A day is needed here, written as 2026-11-30.',
  datetime: 'A moment is needed here, written as 2026-11-30T14:05:00Z.',
  email: 'An e-mail address is needed here.',
  time: 'A time of day is needed here, written as 14:05:00.',
  url: 'A web address is needed here.',
  uuid: 'An id is needed here: 32 hexadecimal digits, written 8-4-4-4-12.',
};

/** More choices than anyone reads at once. */
const MOST_CHOICES = 30;

function wrongType({ expected, input }: Extract<Mistake, { code: 'invalid_type' }>): string {
  if (input === undefined) return 'This is needed and is missing.';
  const kind = KINDS[expected] ?? 'Another kind of value';
  return `${kind} is needed here${input === null ? ', not nothing' : ''}.`;
}

function oneOf(values: readonly unknown[]): string {
  const told = values.slice(0, MOST_CHOICES).map(String);
  const more = values.length > told.length ? `, or ${values.length - told.length} others` : '';
  return values.length === 1 ? `This must be ${told[0]}.` : `One of these is needed: ${told.join(', ')}${more}.`;
}

function tooSmall({ origin, minimum, inclusive, exact }: Extract<Mistake, { code: 'too_small' }>): string {
  const unit = unitOf(origin, minimum);
  if (exact) return `Exactly ${minimum}${unit} needed.`;
  if (origin === 'string' && Number(minimum) === 1) return 'Write something here.';
  return `${inclusive === false ? 'Above' : 'At least'} ${minimum}${unit}.`;
}

function tooBig({ origin, maximum, inclusive, exact }: Extract<Mistake, { code: 'too_big' }>): string {
  const unit = unitOf(origin, maximum);
  if (exact) return `Exactly ${maximum}${unit} needed.`;
  return `${inclusive === false ? 'Below' : 'At most'} ${maximum}${unit}.`;
}

function unitOf(origin: string, count: number | bigint | Date): string {
  const one = Number(count) === 1;
  if (origin === 'string') return one ? ' character' : ' characters';
  return ['array', 'set', 'map', 'record', 'object'].includes(origin) ? (one ? ' entry' : ' entries') : '';
}

/** Of several forms the nearest one's mistakes, or of each what it would have been. */
function noForm(mistake: Extract<Mistake, { code: 'invalid_union' }>): string {
  const { errors } = mistake;
  const options = (mistake as { readonly options?: readonly unknown[] }).options ?? [];
  if (options.length > 0) return oneOf(options);
  const near = errors.filter((form) => form.every(({ path }) => path.length > 0));
  const [nearest] = near.sort((one, other) => one.length - other.length);
  if (nearest?.[0]) return `At ${nearest[0].path.join('/')}: ${nearest[0].message}`;
  const told = new Set(errors.flatMap((form) => form.map(({ message }) => message.replace(/\.$/, ''))));
  return told.size === 0 ? 'This fits no form that is allowed here.' : `${[...told].join('; or: ')}.`;
}
