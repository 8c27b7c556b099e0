import { findTables, type SheetMapping, type WordMeaning } from '@jarfold/domain';
import { recordPast } from '../../bench/index.js';
import { lockFarm } from '../../farm/index.js';
import { enqueueReplan } from '../../jobs/index.js';
import { AppError, type Clock, type GrowerTx } from '../../platform/index.js';
import type { Progress } from '../../under-way/index.js';
import type { BringsIn, BroughtResult, FileToBringIn, ImportWork } from '../file-importer.js';
import { namedId } from '../named-id.js';
import type { BringInJob } from './bring-in-job.js';
import { type DryRun, dryRun, headingsOf } from './dry-run.js';
import { type OldSheetsContent, type ReadOldSheets, requireOldSheets, requireSomething, rowsOf } from './kept-sheet.js';
import { makeLists } from './lists-with-file.js';
import { rememberMapping } from './old-sheets.repository.js';
import { pastEntries } from './past-entries.js';

/** Moments of a bringing in that a test or a measurement wants to stand at. */
export interface BringInWatch {
  /** Everything is written and nobody sees it; the log is not locked yet. */
  readonly beforeSwitch?: () => Promise<void>;
  readonly afterSwitch?: (lockedMs: number) => void;
}

/**
 * Brings an old spreadsheet in. Everything is written first; tablets go on all the while: the log is locked for the last
 * step only.
 */
export class OldSheetsWork implements ImportWork {
  constructor(
    private readonly clock: Clock,
    private readonly read: ReadOldSheets,
    private readonly watch: BringInWatch = {},
  ) {}

  async open({ ctx, row, content: stored, bytes }: FileToBringIn) {
    const { content } = requireOldSheets({ ...row, content: stored });
    const reading = await this.read(bytes, row.fileName);
    if (!reading.ok) return { ok: false as const, reason: reading.problem.rule };
    const job: BringInJob = {
      ctx,
      importId: row.id,
      idsFrom: ['old sheets', row.id, ...(content.takenBack === undefined ? [] : [content.takenBack])],
      fileName: row.fileName,
      digest: row.digest,
      content,
      tables: findTables(reading.file),
    };
    return { ok: true as const, all: (tx: GrowerTx, progress: Progress) => this.#all(tx, job, progress) };
  }

  async #all(tx: GrowerTx, job: BringInJob, progress: Progress): Promise<BringsIn> {
    const { ctx, idsFrom, content } = job;
    const now = this.clock.now();
    await lockFarm(tx, ctx.growerId);
    const dry = await dryRun(tx, ctx.growerId, job.tables, content.mapping, now);
    if (dry.seen !== content.seen) throw changedWhileWaiting();
    requireSomething(dry, content.withoutRefused ?? false);
    progress.expect(rowsOf(dry));
    const step = async (done: number) => progress.step(done);
    const { idOf, runs } = await makeLists(tx, job, dry, step);
    const entries = await pastEntries(tx, job, dry, idOf, now);
    const deviceId = namedId(idsFrom);
    const device = { id: deviceId, name: `File ${job.fileName}`.slice(0, 80) };
    const past = await recordPast(tx, ctx, { device, entries }, now, (things) =>
      step(dry.settled.runs.length + things),
    );
    await this.watch.beforeSwitch?.();
    progress.step(rowsOf(dry));
    const result = await settled(tx, job, dry, { brought: { deviceId, runs }, idOf }, now);
    const lastStep = async () => {
      const { lockedMs } = await past.append();
      this.watch.afterSwitch?.(lockedMs);
    };
    return { result, lastStep };
  }
}

interface Made {
  readonly brought: NonNullable<OldSheetsContent['brought']>;
  readonly idOf: (meaning: WordMeaning) => string;
}

/** What is kept of a file that came in; how its tables were to be understood is remembered. */
async function settled(
  tx: GrowerTx,
  { ctx, content, tables }: BringInJob,
  dry: DryRun,
  { brought, idOf }: Made,
  now: Date,
): Promise<BroughtResult> {
  const mapping = asOwnThings(dry.mapping, idOf);
  for (const table of tables)
    await rememberMapping(tx, ctx.growerId, headingsOf(table), forNextFile(mapping[table.key]!), now);
  const { lots, runs, harvests, marks } = dry.settled;
  const jars = lots.reduce((sum, lot) => sum + lot.jars.length, 0);
  const result = `${lots.length} lots with ${jars} jars, ${runs.length} runs and ${harvests.length} harvests brought in.`;
  await enqueueReplan(tx, ctx, runs.length > 0 ? 'run-changed' : 'bench-entries');
  const next: OldSheetsContent = { ...content, mapping, marks, brought };
  return { outcome: { done: rowsOf(dry), total: rowsOf(dry), result }, content: next };
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
