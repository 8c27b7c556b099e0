import { type CalendarDay, type IsoWeekday, isTimeZone, percentToFraction } from '@jarfold/domain';
import type { Cell } from '../cells/cell.js';
import { asTyped, roundedPercent } from './cell-text.js';
import { cleanText, nameKey } from './clean-text.js';
import { type Reading, refused, understood, type ValueKind } from './column.js';
import { dayFromText } from './day-text.js';
import { nearestName } from './nearest-name.js';
import { numberFromText } from './number-text.js';

interface Bounds {
  readonly min: number;
  readonly max: number;
  readonly unit: string | null;
}

/** Text that names something. A number is taken as its digits; a date or a truth value is a code a spreadsheet changed. */
export const name: ValueKind<string> = {
  name: 'text',
  numberFormat: '@',
  words: null,
  write: (value) => value,
  read: ({ content }) => {
    if (content.kind === 'text') return understood(cleanText(content.text));
    if (content.kind === 'number') return understood(String(content.number));
    return refused('not-text', 'A name or code is needed here.', 'Format the cell as text and write the name again.');
  },
};

/** Several names in one cell, parted by commas or semicolons. */
export const names: ValueKind<readonly string[]> = {
  name: 'one or more names, separated by commas',
  numberFormat: '@',
  words: null,
  write: (values) => values.join(', '),
  read: (cell) => {
    const text = name.read(cell);
    return text.ok ? understood(partsOf(text.value)) : text;
  },
};

export function number({
  min,
  max,
  unit = null,
}: {
  min: number;
  max: number;
  unit?: string | null;
}): ValueKind<number> {
  return {
    name: `number, ${min} to ${max.toLocaleString('en')}`,
    numberFormat: 'General',
    words: null,
    write: (value) => value,
    read: (cell) => within(numberOf(cell, unit), { min, max, unit }),
  };
}

export function whole({ min, max }: { min: number; max: number }): ValueKind<number> {
  return {
    name: `whole number, ${min} to ${max.toLocaleString('en')}`,
    numberFormat: '0',
    words: null,
    write: (value) => value,
    read: (cell) => wholeNumber(within(numberOf(cell, null), { min, max, unit: null })),
  };
}

/** A share, written as the number of per cent: 5 in the cell, or 5 % in a cell formatted as per cent. Read as a fraction. */
export function percent({ min, max }: { min: number; max: number }): ValueKind<number> {
  return {
    name: `per cent, ${min} to ${max}`,
    numberFormat: 'General',
    words: null,
    write: (value) => roundedPercent(value),
    read: (cell) => {
      const read = within(numberOf(cell, '%'), { min, max, unit: '%' });
      return read.ok ? understood(asTyped(percentToFraction(read.value))) : read;
    },
  };
}

export const day: ValueKind<CalendarDay> = {
  name: 'day',
  numberFormat: 'yyyy-mm-dd',
  words: null,
  write: (value) => ({ day: value }),
  read: ({ content }) => {
    if (content.kind === 'text') return dayFromText(cleanText(content.text));
    if (content.kind === 'day') {
      return content.day
        ? understood(content.day)
        : refused('impossible-day', 'This day does not exist.', 'Enter it again as a date.');
    }
    return refused('not-a-day', 'A day is needed here.', 'Format the cell as a date, or write it as YYYY-MM-DD.');
  },
};

export const days: ValueKind<readonly CalendarDay[]> = {
  name: 'one or more days, separated by commas',
  numberFormat: '@',
  words: null,
  write: (values) => values.join(', '),
  read: (cell) => {
    if (cell.content.kind !== 'text') {
      const one = day.read(cell);
      return one.ok ? understood([one.value]) : one;
    }
    return each(partsOf(cleanText(cell.content.text)), dayFromText);
  },
};

/** A choice of words; each may have others that mean the same. */
export function choice<W extends string>(words: Readonly<Record<W, readonly string[]>>): ValueKind<W> {
  const offered = Object.keys(words) as W[];
  const byWord = new Map(offered.flatMap((word) => [word, ...words[word]].map((other) => [nameKey(other), word])));
  return {
    name: offered.join(', '),
    numberFormat: '@',
    words: offered,
    write: (value) => value,
    read: ({ content }) => {
      const written = content.kind === 'text' ? content.text : '';
      const word = byWord.get(nameKey(written)) as W | undefined;
      return word === undefined ? unknownWord(written, byWord, offered) : understood(word);
    },
  };
}

export const yesNo: ValueKind<boolean> = {
  name: 'yes or no',
  numberFormat: '@',
  words: ['yes', 'no'],
  write: (value) => (value ? 'yes' : 'no'),
  read: ({ content }) => {
    if (content.kind === 'boolean') return understood(content.value);
    if (content.kind === 'number' && (content.number === 0 || content.number === 1)) {
      return understood(content.number === 1);
    }
    const word = content.kind === 'text' ? nameKey(content.text) : '';
    if (/^(yes|y|true|x|✓|✔)$/.test(word)) return understood(true);
    if (/^(no|n|false|-|–)$/.test(word)) return understood(false);
    return refused('unknown-word', 'Yes or no is needed here.', 'Write yes or no.');
  },
};

/** A generation such as 2 or G2. */
export const generation: ValueKind<number> = {
  name: 'whole number, 0 to 12 (or G0 to G12)',
  numberFormat: '0',
  words: null,
  write: (value) => value,
  read: (cell) => {
    const { content } = cell;
    const letter = content.kind === 'text' ? /^g\s*(\d+)$/i.exec(cleanText(content.text)) : null;
    const read: Reading<number> = letter ? understood(Number(letter[1])) : numberOf(cell, null);
    return wholeNumber(within(read, { min: 0, max: 12, unit: null }));
  },
};

const WEEKDAYS = ['Monday', 'Tuesday', 'Wednesday', 'Thursday', 'Friday', 'Saturday', 'Sunday'];

/** Weekdays by name, by their first two or three letters, or by ISO number (1 is Monday). */
export const weekdays: ValueKind<readonly IsoWeekday[]> = {
  name: 'one or more weekdays, separated by commas',
  numberFormat: '@',
  words: null,
  write: (values) => values.map((value) => WEEKDAYS[value - 1]).join(', '),
  read: ({ content }) => {
    const text = content.kind === 'text' ? content.text : content.kind === 'number' ? String(content.number) : '';
    const read = each(
      cleanText(text)
        .split(/[\s,;/&+]+|\band\b/)
        .filter(Boolean),
      weekday,
    );
    return read.ok ? understood([...new Set(read.value)].sort()) : read;
  },
};

export const timeZone: ValueKind<string> = {
  name: 'IANA time zone',
  numberFormat: '@',
  words: null,
  write: (value) => value,
  read: (cell) => {
    const text = name.read(cell);
    if (!text.ok || isTimeZone(text.value)) return text;
    const near = nearestName(text.value, Intl.supportedValuesOf('timeZone'));
    return refused(
      'unknown-name',
      'This is no IANA time zone.',
      near ? `Did you mean ${near}?` : 'Write one such as Europe/Vienna or America/Denver.',
    );
  },
};

function weekday(text: string): Reading<IsoWeekday> {
  const key = text.toLowerCase().replace(/\.$/, '');
  const found = /^[1-7]$/.test(key)
    ? Number(key) - 1
    : WEEKDAYS.findIndex(
        (full) => key.length >= 2 && (full.toLowerCase().startsWith(key) || `${full}s`.toLowerCase() === key),
      );
  if (found >= 0) return understood((found + 1) as IsoWeekday);
  const near = nearestName(text, WEEKDAYS);
  return refused(
    'unknown-word',
    `"${text}" is no weekday.`,
    near ? `Did you mean ${near}?` : 'Write weekdays such as Monday, Thursday.',
  );
}

function numberOf({ content }: Cell, unit: string | null): Reading<number> {
  if (content.kind === 'number') return numberShown(content.number, content.percent, unit);
  if (content.kind === 'text') return numberFromText(cleanText(content.text), unit);
  if (content.kind === 'day') {
    return refused(
      'not-a-number',
      'A number is needed here, and the cell is formatted as a date.',
      'Format the cell as a number and write it again.',
    );
  }
  return refused('not-a-number', 'A number is needed here.', 'Write a number, or leave the cell blank.');
}

function numberShown(number: number, shownAsPercent: boolean, unit: string | null): Reading<number> {
  if (!shownAsPercent) return understood(number);
  if (unit === '%') return understood(roundedPercent(number));
  return refused('wrong-unit', 'This column is not in per cent.', 'Format the cell as a plain number.');
}

function within(read: Reading<number>, { min, max, unit }: Bounds): Reading<number> {
  if (!read.ok || (read.value >= min && read.value <= max)) return read;
  const suffix = unit === null ? '' : ` ${unit}`;
  const rule =
    read.value < min
      ? `It must be at least ${min}${suffix}.`
      : `It must be at most ${max.toLocaleString('en')}${suffix}.`;
  return refused('out-of-range', rule, 'Correct the number, or leave the cell blank if you do not know it.');
}

function wholeNumber(read: Reading<number>): Reading<number> {
  if (!read.ok || Number.isInteger(read.value)) return read;
  return refused(
    'not-whole',
    'It must be a whole number.',
    `Write ${Math.floor(read.value)} or ${Math.ceil(read.value)}.`,
  );
}

function each<T>(parts: readonly string[], read: (part: string) => Reading<T>): Reading<readonly T[]> {
  const readings = parts.map(read);
  const wrong = readings.find((reading) => !reading.ok);
  if (wrong && !wrong.ok) return wrong;
  return understood(readings.flatMap((reading) => (reading.ok ? [reading.value] : [])));
}

const partsOf = (text: string) =>
  text
    .split(/[,;\n]/)
    .map((part) => part.trim())
    .filter(Boolean);

function unknownWord(written: string, known: ReadonlyMap<string, string>, offered: readonly string[]): Reading<never> {
  const near = nearestName(nameKey(written), known.keys());
  const list = offered.join(', ');
  return refused(
    'unknown-word',
    `It must be one of: ${list}.`,
    near ? `Did you mean ${known.get(near)}?` : 'Write one of these words.',
  );
}
