import { findTables, type SheetMapping, type WordMeaning } from '@jarfold/domain';
import { recordPast } from '../../bench/index.js';
import { lockFarm } from '../../farm/index.js';
import { enqueueReplan } from '../../jobs/index.js';
import { AppError, type Clock, type GrowerDb, type GrowerTx, sqlState } from '../../platform/index.js';
import {
  findImport,
  findImportBytes,
  type ImportOutcome,
  lockImport,
  updateImport,
} from '../file-imports.repository.js';
import { namedId } from '../named-id.js';
import type { BringInJob } from './bring-in-job.js';
import { type DryRun, dryRun, headingsOf } from './dry-run.js';
import { type OldSheetsContent, type ReadOldSheets, requireOldSheets, requireSomething, rowsOf } from './kept-sheet.js';
import { makeLists } from './lists-with-file.js';
import { holdImport, rememberMapping } from './old-sheets.repository.js';
import { pastEntries } from './past-entries.js';

/** What became of a bringing in. */
export type BroughtIn = 'applied' | 'cancelled' | 'failed' | 'nothing-to-do';

/** Moments of a bringing in that a test or a measurement wants to stand at. */
export interface BringInWatch {
  /** Everything is written and nobody sees it; the log is not locked yet. */
  readonly beforeSwitch?: () => Promise<void>;
  readonly afterSwitch?: (lockedMs: number) => void;
}

const LIMIT_MS = 600_000;
const TELL_EVERY_MS = 500;
const ATTEMPTS = 5;
/** What a tablet may do in between: give the same code, hold the log for longer, or wait for each other. */
const WORTH_ANOTHER_TRY = new Set(['23505', '55P03', '40P01']);

class Cancelled extends Error {}

/**
 * The worker's part: brings a file in that a person has said yes to. Everything is made in one transaction, which nobody
 * sees until it ends, so a worker that dies has changed nothing and the next one begins anew. Tablets go on all the while:
 * the log is locked for the last step only.
 */
export class OldSheetsBringer {
  constructor(
    private readonly growerDb: GrowerDb,
    private readonly clock: Clock,
    private readonly read: ReadOldSheets,
    private readonly watch: BringInWatch = {},
  ) {}

  /** Safe to run twice: a file that is applied or cancelled is left alone. */
  async bringIn(growerId: string, importId: string): Promise<BroughtIn> {
    const asked = await this.growerDb.run({ growerId }, async (tx) => {
      await lockImport(tx, growerId, importId);
      const { row, content } = requireOldSheets(await findImport(tx, growerId, importId));
      if (row.state !== 'waiting' && row.state !== 'running') return null;
      await updateImport(tx, growerId, importId, {
        state: 'running',
        outcome: { ...row.outcome, result: 'Being brought in.' },
      });
      return { row, content, bytes: await findImportBytes(tx, growerId, importId) };
    });
    if (asked === null || asked.bytes === null) return 'nothing-to-do';
    const ctx = { growerId, staffId: asked.row.uploadedBy, role: null };
    const reading = await this.read(asked.bytes, asked.row.fileName);
    if (!reading.ok) return this.#fail(ctx, importId, reading.problem.rule);
    const job: BringInJob = {
      ctx,
      importId,
      idsFrom: ['old sheets', importId, ...(asked.content.takenBack === undefined ? [] : [asked.content.takenBack])],
      fileName: asked.row.fileName,
      digest: asked.row.digest,
      content: asked.content,
      tables: findTables(reading.file),
    };
    return this.#tryUntilDone(job);
  }

  async #tryUntilDone(job: BringInJob): Promise<BroughtIn> {
    for (let attempt = 1; ; attempt += 1) {
      try {
        return await this.#attempt(job);
      } catch (error) {
        if (error instanceof Cancelled) return 'cancelled';
        if (WORTH_ANOTHER_TRY.has(stateOf(error)) && attempt < ATTEMPTS) continue;
        // What the farm's rules or the database say to the file they say again; only what is busy or away may change.
        if (error instanceof AppError && error.code !== 'unavailable') {
          return this.#fail(job.ctx, job.importId, error.message);
        }
        await this.#sayFault(job);
        throw error;
      }
    }
  }

  async #attempt(job: BringInJob): Promise<BroughtIn> {
    const progress: Progress = { done: 0, total: 0, cancelled: false };
    const telling = this.#tell(job, progress);
    try {
      return await this.growerDb.run(job.ctx, (tx) => this.#all(tx, job, progress), { timeoutMs: LIMIT_MS });
    } finally {
      await telling.stop();
    }
  }

  async #all(tx: GrowerTx, job: BringInJob, progress: Progress): Promise<BroughtIn> {
    const { ctx, importId, idsFrom, content } = job;
    if (!(await holdImport(tx, importId))) return 'nothing-to-do';
    const now = this.clock.now();
    await lockFarm(tx, ctx.growerId);
    const dry = await dryRun(tx, ctx.growerId, job.tables, content.mapping, now);
    if (dry.seen !== content.seen) throw changedWhileWaiting();
    requireSomething(dry, content.withoutRefused ?? false);
    progress.total = rowsOf(dry);
    const step = async (done: number) => {
      progress.done = done;
      if (progress.cancelled) throw new Cancelled();
    };
    const { idOf, runs } = await makeLists(tx, job, dry, step);
    const entries = await pastEntries(tx, job, dry, idOf, now);
    const deviceId = namedId(idsFrom);
    const device = { id: deviceId, name: `File ${job.fileName}`.slice(0, 80) };
    const past = await recordPast(tx, ctx, { device, entries }, now, (things) =>
      step(dry.settled.runs.length + things),
    );
    await this.watch.beforeSwitch?.();
    await step(progress.total);
    const brought = { deviceId, runs };
    await settle(tx, job, dry, { brought, idOf }, now);
    const place = await past.append();
    this.watch.afterSwitch?.(place.lockedMs);
    return 'applied';
  }

  /** Says every half second how far it is, in transactions of their own, and hears whether it is to stop. */
  #tell({ ctx, importId }: BringInJob, progress: Progress) {
    let telling: Promise<void> = Promise.resolve();
    const timer = setInterval(() => {
      telling = telling.then(() => this.#tellOnce(ctx, importId, progress)).catch(() => {});
    }, TELL_EVERY_MS);
    return {
      stop: async () => {
        clearInterval(timer);
        await telling;
      },
    };
  }

  async #tellOnce(ctx: BringInJob['ctx'], importId: string, progress: Progress): Promise<void> {
    await this.growerDb.run(ctx, async (tx) => {
      // Waits for whoever settles the file, so that what is settled is never told anew.
      await lockImport(tx, ctx.growerId, importId);
      const row = await findImport(tx, ctx.growerId, importId);
      if (row?.state === 'cancelled') progress.cancelled = true;
      if (row?.state !== 'running') return;
      const outcome = { done: progress.done, total: progress.total, result: 'Being brought in.' };
      await updateImport(tx, ctx.growerId, importId, { outcome });
    });
  }

  /** The queue tries it again; meanwhile, and when it gives up, a person sees why nothing moves. */
  async #sayFault({ ctx, importId }: BringInJob): Promise<void> {
    const result = 'A fault stopped it, and nothing was brought in. It is tried again; cancel it to stop.';
    try {
      await this.growerDb.run(ctx, async (tx) => {
        await lockImport(tx, ctx.growerId, importId);
        const row = await findImport(tx, ctx.growerId, importId);
        if (row?.state === 'running') await updateImport(tx, ctx.growerId, importId, { outcome: { result } });
      });
    } catch {
      // The fault itself is what is thrown; the database may be what is missing.
    }
  }

  async #fail(ctx: BringInJob['ctx'], importId: string, reason: string): Promise<BroughtIn> {
    return this.growerDb.run(ctx, async (tx) => {
      await lockImport(tx, ctx.growerId, importId);
      const row = await findImport(tx, ctx.growerId, importId);
      if (row?.state !== 'running' && row?.state !== 'waiting') return 'nothing-to-do';
      await updateImport(tx, ctx.growerId, importId, {
        state: 'failed',
        outcome: { result: `Nothing was brought in. ${reason}` },
      });
      return 'failed';
    });
  }
}

interface Progress {
  done: number;
  total: number;
  cancelled: boolean;
}

interface Made {
  readonly brought: NonNullable<OldSheetsContent['brought']>;
  readonly idOf: (meaning: WordMeaning) => string;
}

/** Marks the file as brought in, unless it was cancelled meanwhile, and remembers how its tables were to be understood. */
async function settle(
  tx: GrowerTx,
  { ctx, importId, content, tables }: BringInJob,
  dry: DryRun,
  { brought, idOf }: Made,
  now: Date,
): Promise<void> {
  await lockImport(tx, ctx.growerId, importId);
  const row = await findImport(tx, ctx.growerId, importId);
  if (row?.state !== 'running') throw new Cancelled();
  const mapping = asOwnThings(dry.mapping, idOf);
  for (const table of tables)
    await rememberMapping(tx, ctx.growerId, headingsOf(table), forNextFile(mapping[table.key]!), now);
  const { lots, runs, harvests, marks } = dry.settled;
  const jars = lots.reduce((sum, lot) => sum + lot.jars.length, 0);
  const result = `${lots.length} lots with ${jars} jars, ${runs.length} runs and ${harvests.length} harvests brought in.`;
  const outcome: ImportOutcome = { done: rowsOf(dry), total: rowsOf(dry), result };
  const next: OldSheetsContent = { ...content, mapping, marks, brought };
  await updateImport(tx, ctx.growerId, importId, { state: 'applied', appliedAt: now, outcome, content: next });
  await enqueueReplan(tx, ctx, runs.length > 0 ? 'run-changed' : 'bench-entries');
}

/** New things are the farm's own from now on, whatever becomes of the file. */
function asOwnThings(mapping: SheetMapping, idOf: (meaning: WordMeaning) => string): SheetMapping {
  const own = (meaning: WordMeaning): WordMeaning =>
    meaning.to === 'leave-out' || meaning.to === 'run-in-file' ? meaning : { to: 'known', id: idOf(meaning) };
  return withWords(mapping, (meanings) => meanings.map(([word, meaning]) => [word, own(meaning)]));
}

/** The same words mean the same in the next file with these headings, which has runs of its own. */
function forNextFile(table: SheetMapping[string]): SheetMapping[string] {
  return withWords({ table }, (meanings) => meanings.filter(([, { to }]) => to !== 'run-in-file')).table!;
}

type Meanings = readonly (readonly [string, WordMeaning])[];

function withWords(mapping: SheetMapping, change: (meanings: Meanings) => Meanings): SheetMapping {
  const changed = ({ words }: SheetMapping[string]) =>
    Object.entries(words).map(([field, meanings]) => [
      field,
      Object.fromEntries(change(Object.entries(meanings ?? {}))),
    ]);
  return Object.fromEntries(
    Object.entries(mapping).map(([key, table]) => [key, { ...table, words: Object.fromEntries(changed(table)) }]),
  );
}

const changedWhileWaiting = () => new AppError('conflict', 'The farm changed while the file waited: look at it again.');

function stateOf(error: unknown): string {
  return sqlState(error) ?? (error instanceof Error && error.cause !== undefined ? (sqlState(error.cause) ?? '') : '');
}
