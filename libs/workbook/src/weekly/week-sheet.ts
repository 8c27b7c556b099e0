import { type CalendarDay, largeMass, largeMassUnit, type WeeklyBook } from '@jarfold/domain';
import { shortDay } from '../plan/plan-words.js';
import type { SheetDraft } from '../writing/sheet-draft.js';
import { text } from './book-columns.js';

/** What an owner wants to know first, on a telephone, in lines short enough for one. */
export function weekSheetDraft(book: WeeklyBook): SheetDraft {
  const { farmName, from, to, work } = book;
  return {
    name: 'This week',
    title: [farmName, `${shortDay(from)} to ${shortDay(to)}`, ...briefLines(book)],
    columns: [
      { header: 'Day', width: 16, format: 'ddd d mmm' },
      text('Do', 32),
      text('From', 26),
      text('For', 26),
      text('Done', 7),
    ],
    rows: work.map(({ day, work: kind, what, from: source, purpose }) => [
      { day },
      `${kind}: ${what}`,
      source,
      purpose,
      '☐',
    ]),
    whenEmpty: book.planAsOf === null ? 'There is no plan yet.' : 'Nothing to do this week.',
    orientation: 'portrait',
    textSize: 13,
    freeze: false,
  };
}

export function briefLines({ brief, units, planAsOf }: WeeklyBook): string[] {
  if (planAsOf === null) return ['There is no plan yet.'];
  const { jarsToStart, cycles, dryGrainG, grainName, runsPlanned, runsCovered, shortages } = brief;
  const mass = (massG: number) => `${round(largeMass(massG, units))} ${largeMassUnit(units)}`;
  return [
    jarsToStart === 0 ? 'No jars to start' : `Start ${jarsToStart} jars in ${counted(cycles, 'steriliser load')}`,
    ...(dryGrainG > 0 ? [`Weigh out ${mass(dryGrainG)} ${grainName ?? 'grain'}`] : []),
    runsPlanned === 0 ? 'No bulk runs planned' : `Runs covered: ${runsCovered} of ${runsPlanned}`,
    ...shortages
      .slice(0, 3)
      .map(({ run, day, shortG }) => `Short: ${run}, ${shortDay(day as CalendarDay)}, by ${mass(shortG)}`),
    ...(shortages.length > 3 ? [`and ${shortages.length - 3} more: see Bulk runs`] : []),
    ...(brief.runsBelowTarget > 0 ? [`Below target, above minimum: ${counted(brief.runsBelowTarget, 'run')}`] : []),
    ...(brief.jarsSoonPast > 0 ? [`Use soon: ${counted(brief.jarsSoonPast, 'jar')}`] : []),
    ...(brief.jarsPastLife > 0 ? [`Too old by now: ${counted(brief.jarsPastLife, 'jar')}`] : []),
    ...(brief.jarsContaminated > 0 ? [`Contaminated and still there: ${counted(brief.jarsContaminated, 'jar')}`] : []),
  ];
}

/** Finely enough to weigh out: whole kilograms would leave a jar or two of grain short. */
const round = (value: number) => Math.round(value * 10) / 10;
const counted = (count: number, what: string) => `${count} ${what}${count === 1 ? '' : 's'}`;
