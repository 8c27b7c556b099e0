import { calendarDayAt } from '@jarfold/domain';
import { correctPast } from '../../bench/index.js';
import { readSettings } from '../../farm/index.js';
import { enqueueReplan } from '../../jobs/index.js';
import { AppError, type GrowerContext, type GrowerTx } from '../../platform/index.js';
import { cancelRunIn, changeRunIn } from '../../runs/index.js';
import type { FileImportRow } from '../file-imports.repository.js';
import { namedId } from '../named-id.js';
import type { OldSheetsContent } from './kept-sheet.js';
import { standingEntries, touchedSince, usesOfRun } from './old-sheets.repository.js';

/** Which taking back this is: a file may be brought in and taken back again and again. */
interface TakingBack {
  readonly row: FileImportRow;
  readonly brought: NonNullable<OldSheetsContent['brought']>;
  readonly before: number;
}

/**
 * Takes back what a file brought, within a transaction that holds the farm's lock: its runs, and its entries from the last
 * to the first. The log is locked for the last step only.
 * @param onLocked told for how many milliseconds the log was locked
 * @throws AppError `rule-refused` when something has happened to what it brought since; `conflict` when one of its entries
 * is corrected while this is decided
 */
export async function takeBackIn(
  tx: GrowerTx,
  ctx: GrowerContext & { readonly staffId: string },
  { row, brought, before }: TakingBack,
  now: Date,
  onLocked: (lockedMs: number) => void = () => undefined,
): Promise<{ readonly entries: number; readonly runs: number }> {
  const untouched = () => requireUntouched(tx, ctx.growerId, brought.deviceId);
  await untouched();
  const standing = await standingEntries(tx, ctx.growerId, brought.deviceId);
  const reason = `Taken back: brought in by mistake from "${row.fileName}"`.slice(0, 500);
  const idsFrom = ['taken back', row.id, before];
  const corrections = standing.map((entryId) => ({
    ...{ id: namedId([...idsFrom, entryId]), kind: 'corrected', payload: { entryId, reason } },
    ...{ staffId: ctx.staffId, happenedAt: now.toISOString() },
  }));
  const device = { id: namedId(idsFrom), name: `Taken back ${row.fileName}`.slice(0, 80) };
  const { timeZone } = await readSettings(tx, ctx.growerId);
  const today = calendarDayAt(now.getTime(), timeZone);
  const unchanged = async () => {
    await untouched();
    await requireStanding(tx, ctx.growerId, brought.deviceId, standing);
  };
  const past = await explained(() => correctPast(tx, ctx, { device, entries: corrections }, now, unchanged));
  for (const run of brought.runs) await takeRunBack(tx, ctx, run, reason, today, now);
  await enqueueReplan(tx, ctx, 'bench-entries');
  onLocked((await past.append()).lockedMs);
  return { entries: standing.length, runs: brought.runs.length };
}

/** @throws AppError `rule-refused` */
async function requireUntouched(tx: GrowerTx, growerId: string, deviceId: string): Promise<void> {
  const touched = await touchedSince(tx, growerId, deviceId);
  if (touched === null) return;
  throw new AppError(
    'rule-refused',
    `The file cannot be taken back as a whole: something was recorded about ${touched.code} on ${touched.day}, after it came in. Take that back first, or correct single jars at the bench. Nothing was changed.`,
  );
}

/**
 * A correction is no later entry about a jar, so one that was made or undone meanwhile shows in what stands.
 * @param decided the entries that the corrections were decided for
 * @throws AppError `conflict`
 */
async function requireStanding(
  tx: GrowerTx,
  growerId: string,
  deviceId: string,
  decided: readonly string[],
): Promise<void> {
  const now = await standingEntries(tx, growerId, deviceId);
  if (now.length === decided.length && now.every((id, place) => id === decided[place])) return;
  throw new AppError(
    'conflict',
    'An entry of the file was corrected while the file was being taken back. Nothing was changed: take it back again.',
  );
}

async function explained<T>(work: () => Promise<T>): Promise<T> {
  try {
    return await work();
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
