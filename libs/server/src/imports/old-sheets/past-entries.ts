import {
  type BroughtEntry,
  broughtEntries,
  type CalendarDay,
  calendarDayAt,
  dayNumber,
  type FarmFacts,
  type WordMeaning,
} from '@jarfold/domain';
import { readSettings } from '../../farm/index.js';
import type { GrowerTx } from '../../platform/index.js';
import { namedId } from '../named-id.js';
import type { BringInJob } from './bring-in-job.js';
import type { DryRun } from './dry-run.js';

/** The entries with their moments, and a last one that says where they come from. */
export async function pastEntries(
  tx: GrowerTx,
  { ctx, idsFrom, fileName, digest }: BringInJob,
  { settled, farm }: DryRun,
  idOf: (meaning: WordMeaning) => string,
  now: Date,
) {
  const { timeZone } = await readSettings(tx, ctx.growerId);
  const make = (...parts: readonly (string | number)[]) => namedId([...idsFrom, ...parts]);
  const today = calendarDayAt(now.getTime(), timeZone);
  const entries = broughtEntries(settled, { of: idOf, make, formOf: (size) => formOf(size, farm) }, today);
  const jars = settled.lots.reduce((sum, lot) => sum + lot.jars.length, 0);
  const counts = `${settled.lots.length} lots with ${jars} jars, ${settled.runs.length} runs, ${settled.harvests.length} harvests`;
  const text = `Brought in from the file "${fileName}" (SHA-256 ${digest}): ${counts}.`;
  const last: BroughtEntry = { id: make('source'), kind: 'noted', payload: { text }, day: today };
  return [...entries, last].map(({ day, ...entry }) => ({
    ...entry,
    payload: entry.payload as unknown as Readonly<Record<string, unknown>>,
    staffId: ctx.staffId,
    happenedAt: new Date(momentOn(day, timeZone, now)).toISOString(),
  }));
}

function formOf(
  size: WordMeaning,
  { sizes }: Pick<FarmFacts, 'sizes'>,
): Pick<FarmFacts['sizes'][number], 'container' | 'carrier'> {
  const found = size.to === 'new-size' ? size : sizes.find(({ id }) => size.to === 'known' && id === size.id);
  return { container: found?.container ?? 'jar', carrier: found?.carrier ?? 'grain' };
}

const HALF_DAY_MS = 43_200_000;

/** A moment of a day on the farm, near its noon, and never after now. */
function momentOn(day: CalendarDay, timeZone: string, now: Date): number {
  const noon = dayNumber(day) * 2 * HALF_DAY_MS + HALF_DAY_MS;
  const found =
    [noon, noon - HALF_DAY_MS, noon + HALF_DAY_MS].find((atMs) => calendarDayAt(atMs, timeZone) === day) ?? noon;
  return Math.min(found, now.getTime());
}
