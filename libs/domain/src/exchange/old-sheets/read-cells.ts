import type { CalendarDay } from '../../calendar/calendar-day.js';
import { cellText } from '../cell-text.js';
import type { FieldSpec, SheetField, SheetUnit } from './sheet-fields.js';
import type { TableMapping } from './sheet-mapping.js';
import { celsiusOf, gramsOf, unitOfWord } from './sheet-units.js';
import { dayOfCount, dayReadings, possibleDays } from './written-day.js';
import { shownContent, type WrittenContent } from './written-file.js';
import { numberReadings } from './written-number.js';

/**
 * What a cell says of its field. `open` waits for an answer about the whole table, with what the cell could mean;
 * `refused` is wrong whatever the answers are.
 */
export type CellReading<T> =
  | { readonly is: 'read'; readonly value: T }
  | {
      readonly is: 'open';
      readonly about: 'day-order' | 'decimal-mark' | 'day-count' | 'unit';
      readonly readings: readonly string[];
    }
  | { readonly is: 'refused'; readonly code: string; readonly rule: string; readonly advice: string };

type Answers = Pick<TableMapping, 'decimalMark' | 'dayOrder' | 'dayCount' | 'units'>;

const read = <T>(value: T): CellReading<T> => ({ is: 'read', value });
const open = <T>(
  about: Extract<CellReading<T>, { is: 'open' }>['about'],
  readings: readonly string[],
): CellReading<T> => ({ is: 'open', about, readings });
const refused = <T>(code: string, rule: string, advice: string): CellReading<T> => ({
  is: 'refused',
  code,
  rule,
  advice,
});

/** Text as it stands. A number is taken as its digits; a day is a code that a spreadsheet has changed. */
export function readText(content: WrittenContent): CellReading<string> {
  switch (content.kind) {
    case 'text':
      return read(cellText(content.text));
    case 'number':
      return read(shownContent(content));
    case 'boolean':
      return read(shownContent(content));
    case 'day':
      return refused(
        'not-text',
        'This is a day, and words or a code are needed.',
        'The spreadsheet may have turned a code into a day: format the cell as text and write it again.',
      );
    default:
      return noResult(content);
  }
}

export function readDay(content: WrittenContent, { dayOrder, dayCount }: Answers): CellReading<CalendarDay> {
  if (content.kind === 'day') {
    return content.day
      ? read(content.day)
      : refused('impossible-day', 'This day does not exist.', 'Enter it again as a date.');
  }
  if (content.kind === 'number') return countedDay(content.number, dayCount);
  if (content.kind !== 'text') return content.kind === 'boolean' ? noDay() : noResult(content);
  const text = cellText(content.text);
  if (/^\d{5}([.,]\d+)?$/.test(text)) return countedDay(Number(text.replace(',', '.')), dayCount);
  const readings = dayReadings(text);
  if (readings === null) return noDay();
  if (readings.certain !== null) return read(readings.certain);
  const possible = possibleDays(readings);
  if (dayOrder === null) return possible.length === 1 ? read(possible[0]!) : open('day-order', possible);
  const day = readings.byOrder[dayOrder];
  if (day !== null) return read(day);
  const rule = `Days are written ${dayOrder.replaceAll('-', ', ')} here, and in that order this is no day.`;
  return refused('not-a-day', rule, `It would be ${possible.join(' or ')} in another order: write it as YYYY-MM-DD.`);
}

function countedDay(count: number, dayCount: TableMapping['dayCount']): CellReading<CalendarDay> {
  const [from1900, from1904] = [dayOfCount(count, '1900'), dayOfCount(count, '1904')];
  if (from1900 === null && from1904 === null) return noDay();
  if (dayCount === null)
    return open(
      'day-count',
      [from1900, from1904].filter((day) => day !== null),
    );
  const day = dayOfCount(count, dayCount);
  return day === null ? noDay() : read(day);
}

const noDay = <T>(): CellReading<T> =>
  refused('not-a-day', 'A day is needed here.', 'Write it as YYYY-MM-DD, with its year, or clear the cell.');

/** A mass in grams. A unit in the cell itself outranks the column's. */
export function readMass(content: WrittenContent, answers: Answers, field: SheetField): CellReading<number> {
  return readAmount(content, answers, answers.units[field] ?? null, 'mass');
}

/** Degrees Celsius. */
export function readTemperature(content: WrittenContent, answers: Answers, field: SheetField): CellReading<number> {
  return readAmount(content, answers, answers.units[field] ?? null, 'temperature');
}

function readAmount(
  content: WrittenContent,
  answers: Answers,
  columnUnit: SheetUnit | null,
  of: 'mass' | 'temperature',
): CellReading<number> {
  const amount = amountOf(content, answers);
  if (amount.is !== 'read') return amount;
  const { number, behind } = amount.value;
  const unit = behind === '' ? columnUnit : unitOfWord(behind);
  if (behind !== '' && unit === null)
    return refused(
      'wrong-unit',
      `"${behind}" is no unit known here.`,
      of === 'mass' ? 'Write g, kg, lb or oz behind the number.' : 'Write °C or °F behind the number.',
    );
  if (unit === null) return open('unit', of === 'mass' ? ['g', 'kg', 'lb', 'oz'] : ['C', 'F']);
  if (unit === 'C' || unit === 'F') return of === 'temperature' ? read(celsiusOf(number, unit)) : wrongUnit(unit);
  return of === 'mass' ? read(gramsOf(number, unit)) : wrongUnit(unit);
}

const wrongUnit = <T>(unit: string): CellReading<T> =>
  refused(
    'wrong-unit',
    `${unit} is a unit of something else.`,
    'Correct the unit, or say that the column is for something else.',
  );

export function readWhole(content: WrittenContent, answers: Answers): CellReading<number> {
  const text = content.kind === 'text' ? cellText(content.text) : '';
  const lettered =
    /^(?:g|f|no\.?|#|flush)\s*(\d{1,4})$/i.exec(text)?.[1] ?? /^(\d{1,4})(?:st|nd|rd|th|\.)$/i.exec(text)?.[1];
  if (lettered !== undefined) return read(Number(lettered));
  const amount = amountOf(content, answers);
  if (amount.is !== 'read') return amount;
  const { number, behind } = amount.value;
  if (behind !== '' && !/^\p{L}+$/u.test(behind)) return noNumber();
  return Number.isInteger(number)
    ? read(number)
    : refused('not-whole', 'It must be a whole number.', `Write ${Math.floor(number)} or ${Math.ceil(number)}.`);
}

/** A share from 0 to 1, written as per cent: 5, `5 %`, or 5 % in a cell formatted so. */
export function readPercent(content: WrittenContent, answers: Answers): CellReading<number> {
  if (content.kind === 'number' && content.percent) return read(content.number);
  const amount = amountOf(content, answers);
  if (amount.is !== 'read') return amount;
  const { number, behind } = amount.value;
  return behind === '' || behind === '%' ? read(Number((number / 100).toPrecision(12))) : noNumber();
}

function amountOf(
  content: WrittenContent,
  { decimalMark }: Answers,
): CellReading<{ readonly number: number; readonly behind: string }> {
  if (content.kind === 'number') {
    return content.percent
      ? refused('wrong-unit', 'This cell is in per cent.', 'Format it as a plain number.')
      : read({ number: content.number, behind: '' });
  }
  if (content.kind === 'day')
    return refused(
      'not-a-number',
      'A number is needed here, and the cell is formatted as a date.',
      'Format the cell as a number and write it again.',
    );
  if (content.kind !== 'text') return content.kind === 'boolean' ? noNumber() : noResult(content);
  const readings = numberReadings(cellText(content.text));
  if (readings === null) return noNumber();
  const { point, comma, behind } = readings;
  if (decimalMark !== null) {
    const number = decimalMark === 'point' ? point : comma;
    if (number !== null) return read({ number, behind });
    return refused(
      'not-a-number',
      `Numbers are written with a decimal ${decimalMark} here, and this one is not.`,
      `Write it with a decimal ${decimalMark}.`,
    );
  }
  if (point !== null && comma !== null && point !== comma) return open('decimal-mark', [String(point), String(comma)]);
  return read({ number: (point ?? comma)!, behind });
}

const noNumber = <T>(): CellReading<T> =>
  refused('not-a-number', 'A number is needed here.', 'Write a number, or clear the cell.');

const noResult = <T>(content: WrittenContent): CellReading<T> =>
  content.kind === 'error'
    ? refused(
        'formula-error',
        `The formula ends in ${content.code}.`,
        'Correct the formula, or write the value itself.',
      )
    : refused(
        'formula-without-result',
        'The file holds a formula without its result.',
        'Open it in a spreadsheet program, save it, and send it again.',
      );

/** Reads a cell as its field says. Words come back as text. */
export function readField(
  content: WrittenContent,
  field: SheetField,
  { reading }: FieldSpec,
  answers: Answers,
): CellReading<string | number> {
  switch (reading) {
    case 'text':
    case 'words':
      return readText(content);
    case 'day':
      return readDay(content, answers);
    case 'mass':
      return readMass(content, answers, field);
    case 'temperature':
      return readTemperature(content, answers, field);
    case 'whole':
      return readWhole(content, answers);
    case 'percent':
      return readPercent(content, answers);
  }
}
