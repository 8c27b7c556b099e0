import {
  type BringIn,
  type FileImport,
  type OldSheetsPreview,
  type SheetMappingBody,
  type TakenBack,
  tableMappingSchema,
} from '@jarfold/contracts';
import { type FileProblem, type FoundTable, findTables, type SheetMapping } from '@jarfold/domain';
import { lockFarm } from '../../farm/index.js';
import { enqueueFileImport } from '../../jobs/index.js';
import {
  AppError,
  type Clock,
  type GrowerContext,
  type GrowerDb,
  type GrowerTx,
  type Ids,
  InTurn,
} from '../../platform/index.js';
import type { FileToSend } from '../../workbooks/index.js';
import { isBusy } from '../busy.js';
import {
  type FileImportRow,
  findImport,
  findImportBytes,
  importJson,
  lockImport,
  updateImport,
} from '../file-imports.repository.js';
import { keepFile, markedName, requireStaff } from '../kept-file.js';
import { type DryRun, dryRun, firstMapping } from './dry-run.js';
import {
  type OldSheetsContent,
  type OpenedSheets,
  type ReadOldSheets,
  requireOldSheets,
  requireSomething,
  rowsOf,
} from './kept-sheet.js';
import { requireNewNames } from './new-names.js';
import { previewJson, unreadableJson } from './old-sheets.mapper.js';
import { takeBackIn } from './take-back.js';
import { type Understand, understandInline } from './understander.js';

/** A thousand entries are corrected in well under a minute. */
const TAKE_BACK_LIMIT_MS = 300_000;
/** A tablet that holds the log goes first. */
const TAKE_BACK_ATTEMPTS = 5;
/** Files take turns in a process, so that a few large ones at once do not hold up what else it answers. */
const ONE_AT_A_TIME = 'dry run';
const DRY_RUN_LIMIT_MS = 60_000;
const REOPENABLE: ReadonlySet<FileImportRow['state']> = new Set(['previewed', 'failed', 'cancelled']);

type SheetsReading = Awaited<ReturnType<ReadOldSheets>>;

/** A file that was kept, opened again. */
interface OpenFile {
  readonly row: FileImportRow;
  readonly content: OldSheetsContent;
  readonly bytes: Buffer | null;
  readonly opened: OpenedSheets['opened'] | null;
  readonly tables: readonly FoundTable[];
}

/** A farm's own old spreadsheets: read, asked about, shown, and handed to the worker to be brought in. */
export class OldSheetsService {
  private readonly turns = new InTurn();

  constructor(
    private readonly growerDb: GrowerDb,
    private readonly clock: Clock,
    private readonly ids: Ids,
    private readonly read: ReadOldSheets,
    /** A copy of the person's own workbook with its mistakes in it. */
    private readonly mark: (bytes: Buffer, problems: readonly FileProblem[]) => Buffer,
    /** Told for how many milliseconds a taking back locked the log; for a measurement. */
    private readonly onLocked: (lockedMs: number) => void = () => undefined,
    private readonly understander: Understand = understandInline,
  ) {}

  /** Reads the file and keeps it. Nothing of the farm changes. */
  async upload(ctx: GrowerContext, fileName: string, bytes: Buffer): Promise<OldSheetsPreview> {
    const uploadedBy = requireStaff(ctx);
    const reading = await this.read(bytes, fileName);
    const tables = reading.ok ? findTables(reading.file) : [];
    const id = this.ids.next();
    await this.growerDb.run(ctx, async (tx) => {
      const first = await firstMapping(tx, ctx.growerId, tables, storedMapping);
      const problem = reading.ok ? (tables.length === 0 ? noTable() : null) : reading.problem;
      const content: OldSheetsContent = { ...first, problem };
      await keepFile(tx, ctx.growerId, {
        ...{ id, kind: 'old-records', fileName, bytes, content, exportId: null },
        ...{ uploadedAt: this.clock.now(), uploadedBy },
      });
    });
    return this.#shown(ctx, await this.#open(ctx, id, reading));
  }

  /** The file as it would be brought in now. @throws AppError `not-found` */
  async preview(ctx: GrowerContext, id: string): Promise<OldSheetsPreview> {
    return this.#shown(ctx, await this.#open(ctx, id));
  }

  async #shown(ctx: GrowerContext, { row, content, tables, opened }: OpenFile): Promise<OldSheetsPreview> {
    if (content.problem !== null || opened === null) return unreadableJson(row, content.problem ?? noTable());
    const dry = await this.#dryRun(ctx, tables, content);
    return previewJson(row, { tables, opened, remembered: content.remembered }, dry);
  }

  /**
   * The person's own workbook with its refused cells marked, to be corrected and sent again.
   * @throws AppError `not-found`; `rule-refused` for a text file or one that cannot be read
   */
  async markedCopy(ctx: GrowerContext, id: string): Promise<FileToSend> {
    const { row, content, tables, opened, bytes } = await this.#open(ctx, id);
    if (opened?.kind !== 'workbook' || bytes === null) {
      throw new AppError('rule-refused', 'Only an Excel workbook (.xlsx) can be given back with its mistakes marked.');
    }
    const { understood, settled } = await this.#dryRun(ctx, tables, content);
    const marked = this.mark(bytes, [...understood.refused, ...settled.refused]);
    return { fileName: markedName(row.fileName), bytes: marked };
  }

  /**
   * Says how the file is to be understood, and shows what that would bring in.
   * @throws AppError `not-found`; `conflict` for a file that is being or was brought in, or a new thing whose name is taken
   */
  async understand(ctx: GrowerContext, id: string, { tables }: SheetMappingBody): Promise<OldSheetsPreview> {
    await this.growerDb.run(ctx, async (tx) => {
      await lockImport(tx, ctx.growerId, id);
      const { row, content } = requireOldSheets(await findImport(tx, ctx.growerId, id));
      requireOpen(row);
      const mapping = tables as unknown as SheetMapping;
      await requireNewNames(tx, ctx.growerId, mapping);
      const next: OldSheetsContent = { ...content, mapping: { ...content.mapping, ...mapping } };
      await updateImport(tx, ctx.growerId, id, { state: 'previewed', content: next, outcome: {} });
    });
    return this.preview(ctx, id);
  }

  /**
   * Hands the file to the worker, which brings all of it in or nothing.
   * @throws AppError `not-found`; `conflict` when something changed since it was shown; `rule-refused` while a question is
   * open, when rows are refused and nobody said to leave them out, or when nothing is new
   */
  async bringIn(ctx: GrowerContext, id: string, { seen, withoutRefused }: BringIn): Promise<FileImport> {
    const { tables } = await this.#open(ctx, id);
    const handOver = async (tx: GrowerTx) => {
      await lockImport(tx, ctx.growerId, id);
      const { row, content } = requireOldSheets(await findImport(tx, ctx.growerId, id));
      requireOpen(row);
      if (content.problem !== null) throw new AppError('rule-refused', content.problem.rule);
      const dry = await dryRun(tx, ctx.growerId, tables, content.mapping, this.clock.now(), this.understander);
      if (dry.seen !== seen) throw changedSince();
      requireSomething(dry, withoutRefused);
      const outcome = { done: 0, total: rowsOf(dry), result: 'Waiting for the worker.' };
      const next: OldSheetsContent = { ...content, mapping: dry.mapping, withoutRefused, seen };
      await updateImport(tx, ctx.growerId, id, { state: 'waiting', content: next, outcome });
      await enqueueFileImport(tx, ctx, id);
      return importJson({ ...row, state: 'waiting', outcome });
    };
    return this.turns.run(ONE_AT_A_TIME, () => this.growerDb.run(ctx, handOver, { timeoutMs: DRY_RUN_LIMIT_MS }));
  }

  /**
   * Takes back everything a file brought: each of its entries by a correction, each of its runs cancelled. All or nothing.
   * @throws AppError `not-found`; `conflict` for a file that is not applied; `rule-refused` when something has happened to
   * what it brought since
   */
  async takeBack(ctx: GrowerContext, id: string): Promise<TakenBack> {
    for (let attempt = 1; ; attempt += 1) {
      try {
        return await this.#takeBackOnce({ ...ctx, staffId: requireStaff(ctx) }, id);
      } catch (error) {
        if (!isBusy(error) || attempt === TAKE_BACK_ATTEMPTS) throw error;
      }
    }
  }

  #takeBackOnce(ctx: GrowerContext & { readonly staffId: string }, id: string): Promise<TakenBack> {
    return this.growerDb.run(
      ctx,
      async (tx) => {
        await lockFarm(tx, ctx.growerId);
        await lockImport(tx, ctx.growerId, id);
        const { row, content } = requireOldSheets(await findImport(tx, ctx.growerId, id));
        if (row.state !== 'applied' || content.brought === undefined) {
          throw new AppError('conflict', 'Nothing of this file is in the farm, so nothing can be taken back.');
        }
        const taking = { row, brought: content.brought, before: content.takenBack ?? 0 };
        const counts = await takeBackIn(tx, ctx, taking, this.clock.now(), this.onLocked);
        const outcome = { result: `Taken back: ${counts.entries} entries and ${counts.runs} runs.` };
        const { marks: _marks, brought: _brought, ...rest } = content;
        const next: OldSheetsContent = { ...rest, takenBack: (content.takenBack ?? 0) + 1 };
        await updateImport(tx, ctx.growerId, id, { state: 'cancelled', appliedAt: null, content: next, outcome });
        return { import: importJson({ ...row, state: 'cancelled', appliedAt: null, outcome }), ...counts };
      },
      { timeoutMs: TAKE_BACK_LIMIT_MS },
    );
  }

  /** One file at a time, in a transaction that begins when its turn has come. */
  #dryRun(ctx: GrowerContext, tables: readonly FoundTable[], { mapping }: OldSheetsContent): Promise<DryRun> {
    const run = (tx: GrowerTx) => dryRun(tx, ctx.growerId, tables, mapping, this.clock.now(), this.understander);
    return this.turns.run(ONE_AT_A_TIME, () => this.growerDb.read(ctx, run, { timeoutMs: DRY_RUN_LIMIT_MS }));
  }

  /** @param known what was read of the file just now; reading takes a process of its own, so it is not done twice */
  async #open(ctx: GrowerContext, id: string, known?: SheetsReading): Promise<OpenFile> {
    const { row, content, bytes } = await this.growerDb.read(ctx, async (tx) => ({
      ...requireOldSheets(await findImport(tx, ctx.growerId, id)),
      bytes: await findImportBytes(tx, ctx.growerId, id),
    }));
    const reading =
      content.problem === null && bytes !== null ? (known ?? (await this.read(bytes, row.fileName))) : null;
    const opened = reading?.ok ? reading.opened : null;
    return {
      row,
      content,
      opened,
      bytes,
      tables: reading?.ok ? findTables(reading.file) : [],
    };
  }
}

function requireOpen({ state }: FileImportRow): void {
  if (REOPENABLE.has(state)) return;
  const what = state === 'applied' ? 'was brought in already' : 'is being brought in';
  throw new AppError('conflict', `This file ${what}.`);
}

const changedSince = () =>
  new AppError(
    'conflict',
    'The farm or the file’s mapping changed since this was shown: look at it again. Nothing was changed.',
  );

const noTable = (): FileProblem => ({
  ...{ code: 'no-rows', sheet: null, cell: null, column: null, value: null },
  rule: 'No table was found: a row of headings with rows below it.',
  advice: 'Write headings above your columns, such as code, strain, size, state and made on, and send the file again.',
});

/** A remembered mapping of an older form is forgotten. */
function storedMapping(stored: unknown): SheetMapping[string] | null {
  const parsed = tableMappingSchema.safeParse(stored);
  return parsed.success ? (parsed.data as unknown as SheetMapping[string]) : null;
}
