import { addDays, type BulkRun, type CalendarDay, type StrainProfile } from '@jarfold/domain';
import { report } from '../sheets/names.js';
import type { ProblemList } from '../sheets/problem-list.js';
import type { TableRow } from '../sheets/read-table.js';
import type { runSheet } from '../sheets/run-columns.js';
import { runOf } from './farm-run.js';
import type { Listed } from './read-lists.js';

interface RunContext {
  readonly strains: Listed<StrainProfile>;
  readonly asOf: CalendarDay;
  readonly spawnMoisture: number | null;
}

type RunRow = TableRow<typeof runSheet.columns>;

const DAYS_OF_A_SLIP = 3 * 366;

/** The bulk runs. One in the past or beyond the horizon stays: the plan says that it cannot be planned, and why. */
export function readRuns(rows: readonly RunRow[], context: RunContext, found: ProblemList): readonly BulkRun[] {
  return rows.map((row) => readRun(row, context, found)).filter((run) => run !== null);
}

function readRun(row: RunRow, { strains, asOf, spawnMoisture }: RunContext, found: ProblemList): BulkRun | null {
  const { values } = row;
  const written = values.strains ?? [];
  const names = written.map((name) => strains.names.find(row, 'strains', name, found));
  const strainIds = [...new Set(names.filter((name) => name !== null))];
  if (values.day !== null) checkDay(row, values.day, asOf, found);
  if (values.strains !== null && written.length === 0) {
    report(found, row, 'strains', 'missing-value', 'A run needs at least one strain.', 'Write the name of a strain.');
  }
  const [first] = strainIds;
  if (values.day === null || values.substrateWetKg === null || first === undefined) return null;
  const species = strains.find(first)?.species ?? '';
  return runOf({ values, day: values.day, strainIds, species, spawnMoisture });
}

function checkDay(row: RunRow, day: CalendarDay, asOf: CalendarDay, found: ProblemList): void {
  if (day >= addDays(asOf, -DAYS_OF_A_SLIP) && day <= addDays(asOf, DAYS_OF_A_SLIP)) return;
  const rule = `${day} lies more than three years from the day of the plan, ${asOf}.`;
  report(found, row, 'day', 'impossible-day', rule, 'Check the year.');
}
