import { calendarDayAt } from '@jarfold/domain';
import type { BenchService } from '../../bench/index.js';
import { readSettings } from '../../farm/index.js';
import { enqueueReplan } from '../../jobs/index.js';
import { AppError, type GrowerContext, type GrowerTx } from '../../platform/index.js';
import { cancelRunIn, changeRunIn } from '../../runs/index.js';
import type { FileImportRow } from '../file-imports.repository.js';
import type { OldSheetsContent } from './kept-sheet.js';
import { standingEntries, touchedSince, usesOfRun } from './old-sheets.repository.js';

/** Corrections recorded in one go; the log stays locked until all are. */
const PER_STEP = 500;

/**
 * Takes back what a file brought, within a transaction that holds the farm's lock: its entries from the last to the first,
 * then its runs.
 * @throws AppError `rule-refused` when something has happened to what it brought since
 */
export async function takeBackIn(
  tx: GrowerTx,
  ctx: GrowerContext,
  bench: Pick<BenchService, 'append'>,
  row: FileImportRow,
  brought: NonNullable<OldSheetsContent['brought']>,
  now: Date,
): Promise<{ readonly entries: number; readonly runs: number }> {
  // Asked before the log is locked: most refusals cost the tablets nothing.
  const touched = await touchedSince(tx, ctx.growerId, brought.deviceId);
  if (touched !== null) {
    throw new AppError(
      'rule-refused',
      `The file cannot be taken back as a whole: something was recorded about ${touched.code} on ${touched.day}, after it came in. Take that back first, or correct single jars at the bench. Nothing was changed.`,
    );
  }
  const entries = await standingEntries(tx, ctx.growerId, brought.deviceId);
  const reason = `Taken back: brought in by mistake from "${row.fileName}"`.slice(0, 500);
  for (let from = 0; from < entries.length; from += PER_STEP) {
    const part = entries.slice(from, from + PER_STEP);
    const corrections = part.map((entryId) => ({ kind: 'corrected', payload: { entryId, reason } }) as const);
    await explained(() => bench.append(tx, ctx, corrections));
  }
  const { timeZone } = await readSettings(tx, ctx.growerId);
  const today = calendarDayAt(now.getTime(), timeZone);
  for (const run of brought.runs) await takeRunBack(tx, ctx, run, reason, today, now);
  await enqueueReplan(tx, ctx, 'bench-entries');
  return { entries: entries.length, runs: brought.runs.length };
}

async function explained(work: () => Promise<void>): Promise<void> {
  try {
    await work();
  } catch (error) {
    if (!(error instanceof AppError) || error.code !== 'rule-refused') throw error;
    const advice = 'Take the later entries back first, or correct single jars at the bench. Nothing was changed.';
    throw new AppError(
      'rule-refused',
      `The file cannot be taken back as a whole. ${error.message} ${advice}`,
      error.details,
    );
  }
}

async function takeRunBack(
  tx: GrowerTx,
  ctx: GrowerContext,
  { id, revision }: { readonly id: string; readonly revision: number },
  reason: string,
  today: ReturnType<typeof calendarDayAt>,
  now: Date,
): Promise<void> {
  if ((await usesOfRun(tx, ctx.growerId, id)) > 0) {
    throw new AppError(
      'rule-refused',
      'The file cannot be taken back as a whole: spawn was drawn for one of its runs, or a harvest weighed, since. Nothing was changed.',
    );
  }
  try {
    await changeRunIn(tx, ctx, id, revision, { state: 'planned' }, today);
    await cancelRunIn(tx, ctx, id, revision + 1, reason, now);
  } catch (error) {
    if (!(error instanceof AppError) || error.code !== 'revision-stale') throw error;
    throw new AppError(
      'rule-refused',
      'The file cannot be taken back as a whole: one of its runs was changed since. Nothing was changed.',
    );
  }
}
