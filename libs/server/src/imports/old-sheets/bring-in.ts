import {
  type BroughtEntry,
  broughtEntries,
  type CalendarDay,
  calendarDayAt,
  dayNumber,
  findTables,
  gramsToKilograms,
  type RunRecord,
  type SheetMapping,
  startingShelf,
  type WordMeaning,
  wordKey,
} from '@jarfold/domain';
import { recordPast } from '../../bench/index.js';
import { addRoomIn, addShelfIn, addSizeIn, addStrainIn, lockFarm, readSettings } from '../../farm/index.js';
import { enqueueReplan } from '../../jobs/index.js';
import {
  AppError,
  type Clock,
  type GrowerContext,
  type GrowerDb,
  type GrowerTx,
  sqlState,
} from '../../platform/index.js';
import { addRunIn, changeRunIn } from '../../runs/index.js';
import {
  findImport,
  findImportBytes,
  type ImportOutcome,
  lockImport,
  updateImport,
} from '../file-imports.repository.js';
import { namedId } from '../named-id.js';
import { type DryRun, dryRun, headingsOf, newThingKey } from './dry-run.js';
import { holdImport, rememberMapping } from './old-sheets.repository.js';
import {
  type OldSheetsContent,
  type ReadOldSheets,
  requireOldSheets,
  requireSomething,
  rowsOf,
} from './old-sheets.service.js';

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
    const job: Job = {
      ctx,
      importId,
      fileName: asked.row.fileName,
      digest: asked.row.digest,
      content: asked.content,
      tables: findTables(reading.file),
    };
    return this.#tryUntilDone(job);
  }

  async #tryUntilDone(job: Job): Promise<BroughtIn> {
    for (let attempt = 1; ; attempt += 1) {
      try {
        return await this.#attempt(job);
      } catch (error) {
        if (error instanceof Cancelled) return 'cancelled';
        if (WORTH_ANOTHER_TRY.has(stateOf(error)) && attempt < ATTEMPTS) continue;
        if (error instanceof AppError && (error.code === 'rule-refused' || error.code === 'conflict')) {
          return this.#fail(job.ctx, job.importId, error.message);
        }
        throw error;
      }
    }
  }

  async #attempt(job: Job): Promise<BroughtIn> {
    const progress: Progress = { done: 0, total: 0, cancelled: false };
    const telling = this.#tell(job, progress);
    try {
      return await this.growerDb.run(job.ctx, (tx) => this.#all(tx, job, progress), { timeoutMs: LIMIT_MS });
    } finally {
      await telling.stop();
    }
  }

  async #all(tx: GrowerTx, job: Job, progress: Progress): Promise<BroughtIn> {
    const { ctx, importId, content } = job;
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
    const deviceId = namedId(['old sheets', importId]);
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
  #tell({ ctx, importId }: Job, progress: Progress) {
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

  async #tellOnce(ctx: Job['ctx'], importId: string, progress: Progress): Promise<void> {
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

  async #fail(ctx: Job['ctx'], importId: string, reason: string): Promise<BroughtIn> {
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

interface Job {
  readonly ctx: GrowerContext & { readonly staffId: string };
  readonly importId: string;
  readonly fileName: string;
  readonly digest: string;
  readonly content: OldSheetsContent;
  readonly tables: ReturnType<typeof findTables>;
}

interface Progress {
  done: number;
  total: number;
  cancelled: boolean;
}

type Step = (done: number) => Promise<void>;

/** Strains, sizes, rooms and runs that come with the file; every id follows from the import. */
async function makeLists(tx: GrowerTx, { ctx, importId }: Job, { made, settled }: DryRun, step: Step) {
  const newId = (meaning: WordMeaning) => namedId(['old sheets', importId, newThingKey(meaning)]);
  for (const { code, name, speciesKey, to } of made.strains) {
    await addStrainIn(tx, ctx, { id: newId({ to, code, name, speciesKey }), code, name, speciesKey });
  }
  for (const size of made.sizes)
    await addSizeIn(tx, ctx, { id: newId(size), name: size.name, volumeMl: size.volumeMl });
  for (const room of made.rooms) {
    const roomId = await addRoomIn(tx, ctx, {
      id: namedId(['room of', newId(room)]),
      name: room.name,
      kind: room.kind,
    });
    const jars = settled.lots
      .flatMap((lot) => lot.jars)
      .filter(({ record }) => record.place?.to === 'new-room' && newThingKey(record.place) === newThingKey(room));
    await addShelfIn(tx, ctx, { id: newId(room), roomId, name: 'Shelf 1', ...startingShelf(jars.length) });
  }
  const runIds = new Map<string, string>();
  const idOf = (meaning: WordMeaning): string => {
    if (meaning.to === 'known') return meaning.id;
    if (meaning.to === 'run-in-file') return runIds.get(wordKey(meaning.name)) ?? '';
    return newId(meaning);
  };
  const runs: { id: string; revision: number }[] = [];
  for (const [at, run] of settled.runs.entries()) {
    const added = await addRun(tx, ctx, namedId(['old sheets', importId, 'run', at]), run, idOf(run.strain));
    runs.push(added);
    runIds.set(wordKey(run.name), added.id);
    await step(at + 1);
  }
  await knownRunsByName(tx, ctx.growerId, settled, runIds);
  return { idOf, runs };
}

/** A run of the file that the farm has already is that run. */
async function knownRunsByName(
  tx: GrowerTx,
  growerId: string,
  { harvests }: DryRun['settled'],
  runIds: Map<string, string>,
): Promise<void> {
  const names = harvests.flatMap(({ run }) =>
    run.to === 'run-in-file' && !runIds.has(wordKey(run.name)) ? [run.name] : [],
  );
  if (names.length === 0) return;
  const rows = await tx.bulkRun.findMany({
    where: { growerId, state: { not: 'cancelled' } },
    select: { id: true, name: true },
  });
  for (const { id, name } of rows) if (!runIds.has(wordKey(name))) runIds.set(wordKey(name), id);
}

async function addRun(tx: GrowerTx, ctx: GrowerContext, id: string, run: RunRecord, strainId: string) {
  await addRunIn(tx, ctx, {
    ...{ id, name: run.name, day: run.day, strainIds: [strainId], substrateWetKg: gramsToKilograms(run.substrateWetG) },
    ...(run.spawnRate === null ? {} : { spawnRate: run.spawnRate, basis: 'wet/wet' as const }),
    ...(run.note === null ? {} : { note: run.note }),
  });
  if (!run.done) return { id, revision: 1 };
  await changeRunIn(tx, ctx, id, 1, { state: 'done' }, run.day);
  return { id, revision: 2 };
}

/** The entries with their moments, and a last one that says where they come from. */
async function pastEntries(
  tx: GrowerTx,
  { ctx, importId, fileName, digest }: Job,
  { settled }: DryRun,
  idOf: (meaning: WordMeaning) => string,
  now: Date,
) {
  const { timeZone } = await readSettings(tx, ctx.growerId);
  const make = (...parts: readonly (string | number)[]) => namedId(['old sheets', importId, ...parts]);
  const today = calendarDayAt(now.getTime(), timeZone);
  const entries = broughtEntries(settled, { of: idOf, make }, today);
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

const HALF_DAY_MS = 43_200_000;

/** A moment of a day on the farm, near its noon, and never after now. */
function momentOn(day: CalendarDay, timeZone: string, now: Date): number {
  const noon = dayNumber(day) * 2 * HALF_DAY_MS + HALF_DAY_MS;
  const found =
    [noon, noon - HALF_DAY_MS, noon + HALF_DAY_MS].find((atMs) => calendarDayAt(atMs, timeZone) === day) ?? noon;
  return Math.min(found, now.getTime());
}

interface Made {
  readonly brought: NonNullable<OldSheetsContent['brought']>;
  readonly idOf: (meaning: WordMeaning) => string;
}

/** Marks the file as brought in, unless it was cancelled meanwhile, and remembers how its tables were to be understood. */
async function settle(
  tx: GrowerTx,
  { ctx, importId, content, tables }: Job,
  dry: DryRun,
  { brought, idOf }: Made,
  now: Date,
): Promise<void> {
  await lockImport(tx, ctx.growerId, importId);
  const row = await findImport(tx, ctx.growerId, importId);
  if (row?.state !== 'running') throw new Cancelled();
  for (const table of tables)
    await rememberMapping(tx, ctx.growerId, headingsOf(table), forNextFile(dry.mapping, table.key, idOf), now);
  const { lots, runs, harvests, marks } = dry.settled;
  const jars = lots.reduce((sum, lot) => sum + lot.jars.length, 0);
  const result = `${lots.length} lots with ${jars} jars, ${runs.length} runs and ${harvests.length} harvests brought in.`;
  const outcome: ImportOutcome = { done: rowsOf(dry), total: rowsOf(dry), result };
  const next: OldSheetsContent = { ...content, marks, brought };
  await updateImport(tx, ctx.growerId, importId, { state: 'applied', appliedAt: now, outcome, content: next });
  await enqueueReplan(tx, ctx, runs.length > 0 ? 'run-changed' : 'bench-entries');
}

/** New things are the farm's own from now on, and the same words mean them in the next file. */
function forNextFile(mapping: SheetMapping, key: string, idOf: (meaning: WordMeaning) => string): SheetMapping[string] {
  const table = mapping[key]!;
  const words = Object.entries(table.words).map(([field, meanings]) => {
    const kept = Object.entries(meanings ?? {}).filter(([, { to }]) => to !== 'run-in-file');
    const known = (meaning: WordMeaning): WordMeaning =>
      meaning.to === 'leave-out' ? meaning : { to: 'known', id: idOf(meaning) };
    return [field, Object.fromEntries(kept.map(([word, meaning]) => [word, known(meaning)]))];
  });
  return { ...table, words: Object.fromEntries(words) };
}

const changedWhileWaiting = () => new AppError('conflict', 'The farm changed while the file waited: look at it again.');

function stateOf(error: unknown): string {
  return sqlState(error) ?? (error instanceof Error && error.cause !== undefined ? (sqlState(error.cause) ?? '') : '');
}
