import { addDays, type CalendarDay, coverageKind, type RunCoverage, type SpawnPlan } from '@jarfold/domain';
import {
  cautionsFor,
  costInBrief,
  counted,
  describeLimit,
  describeWork,
  type FarmWorkbook,
  limitInBrief,
  longDay,
  mass,
  runsInBrief,
  shortDay,
  WEEK_DAYS,
  weekInBrief,
  weekWork,
} from '@jarfold/workbook';
import { textTable, wrap } from './text-table.js';

const WIDTH = 100;

/** The week's work as a grower reads it, then what falls short, what is lost, and what was read between the lines. */
export function planText(plan: SpawnPlan, farm: FarmWorkbook): string {
  const sections = [
    weekSection(plan, farm),
    runSection(plan),
    strandedSection(plan),
    reserveSection(plan),
    listSection(
      'Cannot be planned:',
      plan.impossible.map(({ message }) => message),
    ),
    listSection('Noted while reading:', farm.notices.map(noticeText)),
  ];
  return `${sections
    .filter((lines) => lines.length > 0)
    .map((lines) => lines.join('\n'))
    .join('\n\n')}\n`;
}

function weekSection(plan: SpawnPlan, farm: FarmWorkbook): readonly string[] {
  const work = weekWork(plan);
  const last = addDays(plan.asOf, WEEK_DAYS - 1);
  const head = [`Spawn work from ${longDay(plan.asOf)} to ${longDay(last)}`, ...wrap(weekInBrief(work, farm), WIDTH)];
  if (work.length === 0) return [...head, nextStart(plan)];
  const rows = describeWork(work, plan, farm).map(({ day, work: doing, what, from, purpose }) => [
    shortDay(day),
    doing,
    what,
    from,
    purpose,
  ]);
  const table = textTable(
    [
      { header: 'Day', width: 10 },
      { header: 'Work', width: 9 },
      { header: 'What', width: 25 },
      { header: 'From', width: 25 },
      { header: 'For', width: 23 },
    ],
    withoutRepeatedDays(rows),
  );
  const cautions = cautionsFor(work).join(' ');
  return [...head, '', ...table, ...(cautions === '' ? [] : ['', ...wrap(cautions, WIDTH)])];
}

function nextStart({ starts }: SpawnPlan): string {
  const [next] = starts;
  if (!next) return 'The plan starts nothing.';
  return `Next: ${counted(next.containers, next.sizeId)} of ${next.strainId} on ${longDay(next.benchDay)}.`;
}

/** A day is named once, above the work of that day. */
function withoutRepeatedDays(rows: readonly (readonly string[])[]): readonly (readonly string[])[] {
  return rows.map((row, at) => (row[0] === rows[at - 1]?.[0] ? ['', ...row.slice(1)] : row));
}

function runSection(plan: SpawnPlan): readonly string[] {
  const { runs } = plan;
  return [
    ...wrap(runsInBrief(runs), WIDTH),
    ...wrap(costInBrief(plan), WIDTH),
    ...shortRuns(
      'Below their minimum:',
      runs.filter((run) => coverageKind(run) === 'short'),
      describeLimit,
    ),
    ...shortRuns(
      'Below their target:',
      runs.filter((run) => coverageKind(run) === 'covered'),
      limitInBrief,
    ),
    ...unsureRuns(runs),
  ];
}

/** A run that is covered on paper is told of when chance leaves it uncovered in more than one of ten seasons. */
const SURE = 0.9;
const UNSURE_SHOWN = 8;

function unsureRuns(runs: readonly RunCoverage[]): readonly string[] {
  const unsure = runs.filter((run) => coverageKind(run) !== 'short' && (run.probability ?? 1) < SURE);
  if (unsure.length === 0) return [];
  const shown = [...unsure].sort((a, b) => (a.probability ?? 1) - (b.probability ?? 1)).slice(0, UNSURE_SHOWN);
  const rows = shown.map((run) => [
    shortDay(run.day),
    run.run,
    run.strainId,
    `${Math.round((run.probability ?? 0) * 100)} %`,
  ]);
  const columns = [
    { header: 'Day', width: 10 },
    { header: 'Run', width: 14 },
    { header: 'Strain', width: 14 },
    { header: 'Chance', width: 8, right: true },
  ];
  const more = unsure.length > shown.length ? [`and ${unsure.length - shown.length} more; --json tells all.`] : [];
  const head = 'Covered if all goes as expected, by chance less surely (--assurance 95 starts more):';
  return ['', ...wrap(head, WIDTH), ...textTable(columns, rows), ...more];
}

function shortRuns(head: string, runs: readonly RunCoverage[], why: (run: RunCoverage) => string): readonly string[] {
  if (runs.length === 0) return [];
  const rows = runs.map((run) => [
    shortDay(run.day),
    run.run,
    run.strainId,
    mass(run.coveredGrams),
    mass(run.minGrams),
    mass(run.targetGrams),
    why(run),
  ]);
  const columns = [
    { header: 'Day', width: 10 },
    { header: 'Run', width: 14 },
    { header: 'Strain', width: 14 },
    { header: 'Gets', width: 8, right: true },
    { header: 'Minimum', width: 8, right: true },
    { header: 'Target', width: 8, right: true },
    { header: 'Why', width: 26 },
  ];
  return ['', head, ...textTable(columns, rows)];
}

function strandedSection({ stranded }: SpawnPlan): readonly string[] {
  if (stranded.length === 0) return [];
  const grams = stranded.reduce((sum, container) => sum + container.grams, 0);
  const head = `${mass(grams)} in ${counted(stranded.length, 'jar')} will be too old before any use:`;
  const byDay = new Map<CalendarDay, string[]>();
  for (const { code, expires } of stranded) byDay.set(expires, [...(byDay.get(expires) ?? []), code]);
  const lines = [...byDay]
    .sort(([a], [b]) => a.localeCompare(b))
    .map(([day, codes]) => `${shortDay(day)}: ${codes.join(', ')}`);
  return [head, ...lines.flatMap((line) => indented(line))];
}

function reserveSection({ reserveGaps }: SpawnPlan): readonly string[] {
  return listSection(
    'Mothers missing from the reserve:',
    reserveGaps.map(
      ({ strainId, from, until, missing }) =>
        `${strainId}: ${counted(missing, 'mother jar')} from ${shortDay(from)} until ${shortDay(until)}`,
    ),
  );
}

function listSection(head: string, items: readonly string[]): readonly string[] {
  return items.length === 0 ? [] : [head, ...items.flatMap((item) => indented(item))];
}

const indented = (text: string) => wrap(text, WIDTH - 2).map((line) => `  ${line}`);

function noticeText({ sheet, cell, message }: FarmWorkbook['notices'][number]): string {
  const place = sheet === null ? '' : cell === null ? `${sheet}: ` : `${sheet}!${cell}: `;
  return `${place}${message}`;
}
