import { addDays, type CalendarDay } from '../../calendar/calendar-day.js';
import type { FileProblem } from '../returned-book.js';
import { dayValue, meaningOf, numberValue, type ReadRow, rowProblem, textValue } from './read-rows.js';
import type { SheetField } from './sheet-fields.js';
import { type FarmFacts, goneStates, type SheetState, type TableMapping, type WordMeaning } from './sheet-mapping.js';

/** A row of jars, understood: one jar, or several that are alike. */
export interface JarRecord {
  readonly row: ReadRow;
  readonly code: string | null;
  readonly lot: string | null;
  readonly count: number;
  readonly strain: WordMeaning;
  readonly size: WordMeaning;
  readonly generation: number;
  readonly state: SheetState;
  readonly place: WordMeaning | null;
  readonly madeOn: CalendarDay;
  readonly ripeOn: CalendarDay | null;
  readonly chilledOn: CalendarDay | null;
  readonly openedOn: CalendarDay | null;
  readonly goneOn: CalendarDay | null;
  /** The run its spawn went into, of a jar that is used up. */
  readonly usedIn: WordMeaning | null;
  readonly gramsLeft: number | null;
  readonly supplier: string | null;
  /** What the row says beside, kept as a note on its jars. */
  readonly note: string | null;
}

export type RecordOf<T> =
  | { readonly record: T; readonly noted: readonly string[] }
  | { readonly problems: readonly FileProblem[] };

const MOST_JARS = 500;
const LAST_GENERATION = 20;
const LONGEST_CODE = 40;
const LONGEST_SUPPLIER = 120;
const LONGEST_NOTE = 2000;
const HEAVIEST_G = 1_000_000;

/**
 * Makes a record of a row of jars. Days that nobody wrote are worked out by the same rules as in the farm workbook, and
 * each that was is told; what cannot be is refused.
 * @param row a row without problems whose words all have a meaning
 */
export function jarRecord(row: ReadRow, mapping: TableMapping, farm: FarmFacts): RecordOf<JarRecord> {
  const problems: FileProblem[] = [];
  const noted: string[] = [];
  const say = (field: SheetField, code: string, rule: string, advice: string) =>
    problems.push(rowProblem(row, field, code, rule, advice));
  const code = textValue(row, 'code');
  const lot = textValue(row, 'lot');
  const count = numberValue(row, 'count') ?? 1;
  const generation = numberValue(row, 'generation') ?? 0;
  const gramsLeft = numberValue(row, 'gramsLeft');
  const supplier = textValue(row, 'supplier');
  const note = noteOf(row);
  for (const [field, text, most, what] of [
    ['code', code, LONGEST_CODE, 'A code'],
    ['lot', lot, LONGEST_CODE, 'A code'],
    ['supplier', supplier, LONGEST_SUPPLIER, 'A supplier'],
  ] as const) {
    if ((text ?? '').length > most)
      say(field, 'out-of-range', `${what} has at most ${most} characters.`, 'Shorten it.');
  }
  problems.push(...longNote(row, note, LONGEST_NOTE));
  if (count < 1 || count > MOST_JARS)
    say('count', 'out-of-range', `One row stands for 1 to ${MOST_JARS} jars.`, 'Split the row.');
  if (count > 1 && code !== null)
    say(
      'code',
      'contradiction',
      'One code cannot name several jars.',
      'Say that the column is the lot’s code, or give each jar a row.',
    );
  if (generation < 0 || generation > LAST_GENERATION)
    say(
      'generation',
      'out-of-range',
      `The generation is 0 to ${LAST_GENERATION}.`,
      'The culture is 0, jars made from it 1.',
    );
  if (gramsLeft !== null && (gramsLeft < 0.1 || gramsLeft > HEAVIEST_G))
    say(
      'gramsLeft',
      'out-of-range',
      'The grams left lie between 0.1 g and 1,000 kg.',
      'Check the number and its unit, or clear the cell; for an empty jar say that it is used up.',
    );
  const meaning = (field: 'strain' | 'size' | 'state' | 'place' | 'run') => {
    const word = textValue(row, field);
    return word === null ? null : (meaningOf(mapping, field, word) ?? null);
  };
  const stateMeaning = meaning('state');
  const state = (stateMeaning?.to === 'known' ? stateMeaning.id : 'ripe') as SheetState;
  const strain = meaning('strain')!;
  const days = jarDays(row, state, daysToRipe(strain, farm), farm.today, say, noted);
  if (state === 'opened' && gramsLeft === null)
    say(
      'state',
      'missing-value',
      'An opened jar needs its grams left.',
      'Say which column holds them, or write another state.',
    );
  if (problems.length > 0) return { problems };
  const place = meaning('place');
  const run = meaning('run');
  return {
    noted,
    record: {
      ...{ row, code, lot, count, strain, generation, state, ...days, gramsLeft },
      size: meaning('size')!,
      usedIn: state !== 'used-up' || run?.to === 'leave-out' ? null : run,
      place: place?.to === 'leave-out' || goneStates.has(state) ? null : place,
      supplier,
      note,
    },
  };
}

function noteOf(row: ReadRow): string | null {
  const mother = textValue(row, 'mother');
  const temperature = numberValue(row, 'temperature');
  const parts = [
    ...(mother === null ? [] : [`Mother: ${mother}`]),
    ...(temperature === null ? [] : [`Temperature: ${temperature} °C`]),
    ...row.notes,
  ];
  return parts.length === 0 ? null : parts.join('. ');
}

/** Cut short, a note would lose what somebody wrote: the row is refused instead. */
export function longNote(row: ReadRow, note: string | null, most: number): readonly FileProblem[] {
  if ((note ?? '').length <= most) return [];
  const rule = `The words kept as a note have at most ${most.toLocaleString('en')} characters in a row.`;
  const advice = 'Shorten them, or leave out a column that is kept as a note.';
  return [rowProblem(row, 'note', 'out-of-range', rule, advice)];
}

function daysToRipe(strain: WordMeaning, farm: FarmFacts): number {
  if (strain.to === 'new-strain') return farm.daysToRipeOf(strain.speciesKey);
  return (
    farm.strains.find(({ id }) => strain.to === 'known' && id === strain.id)?.daysToRipe ?? farm.daysToRipeOf('other')
  );
}

type JarDays = Pick<JarRecord, 'madeOn' | 'ripeOn' | 'chilledOn' | 'openedOn' | 'goneOn'>;

function jarDays(
  row: ReadRow,
  state: SheetState,
  usualDaysToRipe: number,
  today: CalendarDay,
  say: (field: SheetField, code: string, rule: string, advice: string) => void,
  noted: string[],
): JarDays {
  const written = {
    madeOn: dayValue(row, 'madeOn'),
    ripeOn: dayValue(row, 'ripeOn'),
    chilledOn: dayValue(row, 'chilledOn'),
    openedOn: dayValue(row, 'openedOn'),
    goneOn: dayValue(row, 'goneOn'),
  };
  const madeOn = written.madeOn ?? written.ripeOn ?? today;
  if (written.madeOn === null) noted.push('made-day-from-ripe-day');
  requireInOrder(row, written, state, today, say);
  if (goneStates.has(state) && written.goneOn === null) {
    say(
      'state',
      'missing-value',
      'A jar that is gone needs the day it went.',
      'Say which column holds it, or which day counts for all rows.',
    );
  }
  const goneOn = goneStates.has(state) ? written.goneOn : null;
  const last = [goneOn, written.openedOn, written.chilledOn, today].reduce<CalendarDay>(
    (least, day) => (day !== null && day < least ? day : least),
    today,
  );
  const ripe = state === 'ripe' || state === 'chilled' || state === 'opened' || state === 'used-up';
  const ripeOn = ripe
    ? (written.ripeOn ?? ripeDay(madeOn, usualDaysToRipe, last, noted))
    : state === 'incubating'
      ? null
      : written.ripeOn;
  const chilledOn = state === 'chilled' ? (written.chilledOn ?? ripeOn) : null;
  if (state === 'chilled' && written.chilledOn === null) noted.push('chilled-day-from-ripe-day');
  const openedOn = state === 'opened' ? (written.openedOn ?? today) : null;
  if (state === 'opened' && written.openedOn === null) noted.push('opened-day-is-today');
  return { madeOn, ripeOn, chilledOn, openedOn, goneOn };
}

/** The day a jar made then is usually ripe, and at the latest the day something later is known of it. */
function ripeDay(madeOn: CalendarDay, usual: number, last: CalendarDay, noted: string[]): CalendarDay {
  noted.push('ripe-day-worked-out');
  const day = addDays(madeOn, usual);
  return day < last ? day : last;
}

const ORDER = ['madeOn', 'ripeOn', 'chilledOn', 'openedOn', 'goneOn'] as const;

function requireInOrder(
  row: ReadRow,
  written: Readonly<Record<(typeof ORDER)[number], CalendarDay | null>>,
  state: SheetState,
  today: CalendarDay,
  say: (field: SheetField, code: string, rule: string, advice: string) => void,
): void {
  let latest: { readonly field: SheetField; readonly day: CalendarDay } | null = null;
  for (const field of ORDER) {
    const day = written[field];
    // A day for all rows is said of jars that are gone, and of no other.
    if (
      day === null ||
      (field === 'ripeOn' && state === 'incubating') ||
      (field === 'goneOn' && !goneStates.has(state))
    )
      continue;
    if (day > today)
      say(
        field,
        'contradiction',
        `${day} is still to come.`,
        'Correct the day; what has not happened yet is planned in Jarfold, not brought in.',
      );
    else if (latest !== null && day < latest.day) {
      say(
        field,
        'contradiction',
        `${day} is before ${latest.day} (${row.cells.get(latest.field) ?? 'all rows'}), which cannot be.`,
        'Correct one of the two days.',
      );
    } else latest = { field, day };
  }
}
