import { addDays, type CalendarDay, type ContainerSize, type StrainProfile } from '@jarfold/domain';
import { report } from '../sheets/names.js';
import type { ProblemList } from '../sheets/problem-list.js';
import { isGone, type JarRow } from './farm-jar.js';

/** A jar made later than this after the day of the plan is a slip of the pen, not a plan for an earlier day. */
const DAYS_LOOKING_BACK = 31;
const OLDEST_YEARS = 20;
/** Half more than a full jar is a heavy jar; above that it is grams of something else. */
const FULLEST = 2;

/** Checks the days of one jar against each other and against the day of the plan. */
export function checkJarDays(row: JarRow, asOf: CalendarDay, found: ProblemList): void {
  const { madeOn, ripeOn } = row.values;
  const latest = addDays(asOf, DAYS_LOOKING_BACK);
  for (const key of ['madeOn', 'chilledOn', 'openedOn'] as const) {
    const day = row.values[key];
    if (day !== null && day > latest) notAhead(row, key, day, asOf, found);
    if (day !== null && day < addDays(asOf, -366 * OLDEST_YEARS)) {
      impossible(row, key, `${day} lies more than ${OLDEST_YEARS} years back.`, 'Check the year.', found);
    }
  }
  if (ripeOn !== null && ripeOn > addDays(asOf, 366)) {
    impossible(row, 'ripeOn', `${ripeOn} lies more than a year after the day of the plan.`, 'Check the year.', found);
  }
  // A made day that is wrong itself says nothing about the others.
  if (madeOn === null || madeOn > latest) return;
  for (const key of ['ripeOn', 'chilledOn', 'openedOn'] as const) {
    const day = row.values[key];
    if (day !== null && day < madeOn) {
      impossible(row, key, `${day} lies before made on, ${madeOn}.`, 'Correct one of the two days.', found);
    }
  }
}

/** Checks what a jar holds against what it can hold, and its state against its days. */
export function checkJarContents(row: JarRow, size: ContainerSize | null, found: ProblemList): void {
  const { gramsLeft, state, generation } = row.values;
  if (size && gramsLeft !== null && gramsLeft > size.ripeGrams * FULLEST) {
    const rule = `A full ${size.id} holds ${size.ripeGrams} g of ripe spawn.`;
    report(found, row, 'gramsLeft', 'out-of-range', rule, 'Correct the grams, or the size, or its ripe g in Sizes.');
  }
  if (state === 'opened' && gramsLeft === null && !row.unreadable.has('gramsLeft') && generation !== 0) {
    const rule = 'An opened jar needs its grams left.';
    report(found, row, 'gramsLeft', 'missing-value', rule, 'Weigh or estimate what is left in it.');
  }
  for (const key of ['chilledOn', 'openedOn'] as const) {
    if (state === 'incubating' && row.values[key] !== null) {
      const rule = `A jar that is still incubating cannot have been ${key === 'chilledOn' ? 'chilled' : 'opened'} yet.`;
      report(found, row, key, 'contradiction', rule, 'Correct its state, or clear the day.');
    }
  }
}

/** The day the jar was made; without one, its ripe day less the days to ripe. Null, and reported, without either. */
export function madeOnOf(row: JarRow, strain: StrainProfile | null, found: ProblemList): CalendarDay | null {
  const { madeOn, ripeOn } = row.values;
  if (madeOn !== null) return madeOn;
  if (ripeOn !== null) return strain && addDays(ripeOn, row.values.generation === 0 ? 0 : -strain.daysToRipe);
  if (row.unreadable.has('madeOn') || row.unreadable.has('ripeOn') || isGone(row.values.state ?? '')) return null;
  report(found, row, 'madeOn', 'missing-value', 'A jar needs made on or ripe on.', 'Fill in one of the two days.');
  return null;
}

function notAhead(
  row: JarRow,
  key: 'madeOn' | 'chilledOn' | 'openedOn',
  day: string,
  asOf: string,
  found: ProblemList,
) {
  const rule = `${day} lies after the day of the plan, ${asOf}.`;
  impossible(row, key, rule, 'Check month and year, or plan for a later day.', found);
}

function impossible(
  row: JarRow,
  key: 'madeOn' | 'ripeOn' | 'chilledOn' | 'openedOn',
  rule: string,
  advice: string,
  found: ProblemList,
) {
  report(found, row, key, 'impossible-day', rule, advice);
}
