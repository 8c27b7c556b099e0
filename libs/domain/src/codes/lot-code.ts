import { calendarDay, type IsoWeek, isoWeek } from '../calendar/calendar-day.js';
import { DomainError, requireThat } from '../errors.js';
import { type StrainCode, strainCode, strainCodeProblem } from './strain-code.js';

/** What a lot's code says: `OY3-26W48-2` is the second lot of strain OY3 in ISO week 48 of 2026. */
export interface LotCode {
  readonly strain: StrainCode;
  /** ISO 8601 week; years 2000 to 2099. */
  readonly week: IsoWeek;
  /** 1 to 999, counted within strain and week. */
  readonly serial: number;
}

/** What a jar's code says: `OY3-26W48-2/07` is the seventh jar of that lot. */
export interface JarCode {
  readonly lot: LotCode;
  /** 1 to 999; written with two digits at least. */
  readonly number: number;
}

const LOT = /^([A-Z0-9]+)-(\d{2})W(\d{2})-([1-9]\d{0,2})$/;
const JAR = /^(.+)\/(\d{2,3})$/;
const MAX_SERIAL = 999;

const tidy = (text: string): string =>
  text
    .trim()
    .toUpperCase()
    .replaceAll(/[‐‑‒–−]/g, '-');

const twoDigits = (number: number): string => String(number).padStart(2, '0');

const inSeries = (number: number): boolean => Number.isInteger(number) && number >= 1 && number <= MAX_SERIAL;

/**
 * Writes a lot's code.
 * @throws DomainError `lot-code-out-of-range` for a week that does not exist, a year outside 2000 to 2099 or a serial outside 1 to 999.
 * @example formatLotCode({ strain: strainCode('OY3'), week: { year: 2026, week: 48 }, serial: 2 }) // 'OY3-26W48-2'
 */
export function formatLotCode({ strain, week, serial }: LotCode): string {
  requireThat(
    isWeek(week) && inSeries(serial),
    'lot-code-out-of-range',
    `No lot code for ${strain}, week ${week.year}-W${week.week}, serial ${serial}: weeks of 2000 to 2099, serials 1 to ${MAX_SERIAL}.`,
  );
  return `${strain}-${twoDigits(week.year % 100)}W${twoDigits(week.week)}-${serial}`;
}

/**
 * Writes a jar's code.
 * @throws DomainError `lot-code-out-of-range`, `jar-number-out-of-range`
 * @example formatJarCode({ lot, number: 7 }) // 'OY3-26W48-2/07'
 */
export function formatJarCode({ lot, number }: JarCode): string {
  requireThat(
    inSeries(number),
    'jar-number-out-of-range',
    `A jar's number runs from 1 to ${MAX_SERIAL}, not ${number}.`,
  );
  return `${formatLotCode(lot)}/${twoDigits(number)}`;
}

/**
 * Reads a lot's code in any case, with spaces around it and whatever dash a program made of the hyphen.
 * @throws DomainError `not-a-lot-code`
 */
export function parseLotCode(text: string): LotCode {
  const lot = readLot(tidy(text));
  if (!lot)
    throw new DomainError('not-a-lot-code', `"${text}" is not a lot code such as OY3-26W48-2.`, { value: text });
  return lot;
}

/**
 * Reads a jar's code, as {@link parseLotCode} reads a lot's.
 * @throws DomainError `not-a-jar-code`
 */
export function parseJarCode(text: string): JarCode {
  const jar = readJar(tidy(text));
  if (!jar)
    throw new DomainError('not-a-jar-code', `"${text}" is not a jar code such as OY3-26W48-2/07.`, { value: text });
  return jar;
}

/** Reads what a scanner or a person gave: a lot, a jar, or neither. */
export function readCode(
  text: string,
): { kind: 'lot'; lot: LotCode } | { kind: 'jar'; jar: JarCode } | { kind: 'neither' } {
  const tidied = tidy(text);
  const jar = readJar(tidied);
  if (jar) return { kind: 'jar', jar };
  const lot = readLot(tidied);
  return lot ? { kind: 'lot', lot } : { kind: 'neither' };
}

/**
 * The code of the next lot of a strain in a week: one more than the highest serial among the codes in use. Codes of
 * other strains and weeks, and codes in a farm's older style, are passed over.
 * @throws DomainError `lot-code-out-of-range` when all 999 serials of the week are used.
 */
export function nextLotCode(strain: StrainCode, week: IsoWeek, codesInUse: Iterable<string>): string {
  let highest = 0;
  // Most codes in use are another week's or strain's: their beginning tells it for a fraction of what reading them costs.
  const beginning = formatLotCode({ strain, week, serial: 1 }).slice(0, -1);
  for (const code of codesInUse) {
    const text = tidy(code);
    const lot = text.startsWith(beginning) ? readLot(text) : null;
    if (lot) highest = Math.max(highest, lot.serial);
  }
  return formatLotCode({ strain, week, serial: highest + 1 });
}

function readLot(text: string): LotCode | null {
  const match = LOT.exec(text);
  if (!match || strainCodeProblem(match[1]!) !== null) return null;
  const week = { year: 2000 + Number(match[2]), week: Number(match[3]) };
  return isWeek(week) ? { strain: strainCode(match[1]!), week, serial: Number(match[4]) } : null;
}

function readJar(text: string): JarCode | null {
  const match = JAR.exec(text);
  const lot = match ? readLot(match[1]!) : null;
  const number = Number(match?.[2]);
  return lot && inSeries(number) && match?.[2] === twoDigits(number) ? { lot, number } : null;
}

/** A week of 2000 to 2099 that exists: 28 December always lies in its year's last week. */
function isWeek({ year, week }: IsoWeek): boolean {
  if (!Number.isInteger(year) || year < 2000 || year > 2099) return false;
  return Number.isInteger(week) && week >= 1 && week <= isoWeek(calendarDay(`${year}-12-28`)).week;
}
