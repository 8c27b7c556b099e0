import type { FarmFilePreview, FileImport } from '@jarfold/contracts';
import type { FileProblem } from '@jarfold/domain';
import { bringFarmIn, isEmptyFarm, parsedHead } from '../../exports/index.js';
import { lockFarm } from '../../farm/index.js';
import { enqueueFileImport } from '../../jobs/index.js';
import {
  AppError,
  type Clock,
  type GrowerContext,
  type GrowerDb,
  type GrowerTx,
  type Ids,
} from '../../platform/index.js';
import type { Progress } from '../../under-way/index.js';
import type { BringsIn, FileToBringIn, ImportWork } from '../file-importer.js';
import { type FileImportRow, findImport, importJson, lockImport, updateImport } from '../file-imports.repository.js';
import { keepFile, requireStaff } from '../kept-file.js';
import { farmFileLines } from './farm-lines.js';

/** What is kept of a farm's file beside its bytes. */
interface FarmFileContent {
  readonly farm: FarmFilePreview['farm'];
  readonly problem: FileProblem | null;
}

/** A whole farm as a file, out of another farm or another server, on its way into one that is still empty. */
export class FarmFilesService {
  constructor(
    private readonly growerDb: GrowerDb,
    private readonly clock: Clock,
    private readonly ids: Ids,
  ) {}

  /** Looks at the file and keeps it. Nothing of the farm changes. */
  async upload(ctx: GrowerContext, fileName: string, bytes: Buffer): Promise<FarmFilePreview> {
    const uploadedBy = requireStaff(ctx);
    const content = await lookInto(bytes);
    const id = this.ids.next();
    await this.growerDb.run(ctx, (tx) =>
      keepFile(tx, ctx.growerId, {
        ...{ id, kind: 'whole-farm', fileName, bytes, content, exportId: null },
        ...{ uploadedAt: this.clock.now(), uploadedBy },
      }),
    );
    return this.preview(ctx, id);
  }

  /** @throws AppError `not-found` */
  async preview(ctx: GrowerContext, id: string): Promise<FarmFilePreview> {
    return this.growerDb.read(ctx, async (tx) => {
      const { row, content } = requireFarmFile(await findImport(tx, ctx.growerId, id));
      const { farm, problem } = content;
      const empty = await isEmptyFarm(tx, ctx.growerId);
      return { import: importJson(row), farm, empty, problems: problem === null ? [] : [problem] };
    });
  }

  /**
   * Hands the file to the worker, which brings all of it in or nothing.
   * @throws AppError `not-found`; `conflict` for a farm that is not empty, or a file that is settled; `rule-refused` for
   * a file that is no farm
   */
  async bringIn(ctx: GrowerContext, id: string): Promise<FileImport> {
    return this.growerDb.run(ctx, async (tx) => {
      await lockImport(tx, ctx.growerId, id);
      const { row, content } = requireFarmFile(await findImport(tx, ctx.growerId, id));
      if (row.state === 'applied' || row.state === 'waiting' || row.state === 'running') {
        throw new AppError('conflict', `This file is ${row.state} already.`);
      }
      if (content.farm === null) throw new AppError('rule-refused', content.problem?.rule ?? 'The file is no farm.');
      if (!(await isEmptyFarm(tx, ctx.growerId))) {
        throw new AppError('conflict', 'This farm is not empty: a whole farm goes into a new one only.');
      }
      const outcome = { done: 0, total: content.farm.rows, result: 'Waiting for the worker.' };
      await updateImport(tx, ctx.growerId, id, { state: 'waiting', outcome });
      await enqueueFileImport(tx, ctx, id);
      return importJson({ ...row, state: 'waiting', outcome });
    });
  }
}

/** The worker's part. */
export class FarmFileWork implements ImportWork {
  async open({ ctx, bytes }: FileToBringIn) {
    const all = async (tx: GrowerTx, progress: Progress): Promise<BringsIn> => {
      await lockFarm(tx, ctx.growerId);
      const { rows, stateHash } = await bringFarmIn(tx, ctx.growerId, farmFileLines(bytes), progress);
      const result = `${rows} rows brought in. The farm’s state is the one the file says: ${stateHash}.`;
      return { result: { outcome: { ...progress.now, result } } };
    };
    return { ok: true as const, all };
  }
}

async function lookInto(bytes: Buffer): Promise<FarmFileContent> {
  try {
    const lines = farmFileLines(bytes);
    const first = await lines.next();
    await lines.return(undefined);
    const { farm, madeAt, stateHash, counts } = parsedHead(first.done ? '' : first.value);
    const rows = Object.values(counts).reduce((sum, count) => sum + count, 0);
    return { farm: { name: farm.name, timeZone: farm.timeZone, madeAt, rows, stateHash }, problem: null };
  } catch (error) {
    if (!(error instanceof AppError)) throw error;
    return { farm: null, problem: noFarm(error.message) };
  }
}

const noFarm = (rule: string): FileProblem => ({
  ...{ code: 'not-a-farm', sheet: null, cell: null, column: null, value: null },
  rule,
  advice: 'Choose a file that was saved as lines of JSON (.jsonl) under “The whole farm”, with “To bring in again”.',
});

function requireFarmFile<Row extends FileImportRow & { readonly content: unknown }>(
  row: Row | null,
): { readonly row: Row; readonly content: FarmFileContent } {
  if (row === null || row.kind !== 'whole-farm') {
    throw new AppError('not-found', 'There is no such file on this farm.');
  }
  return { row, content: row.content as FarmFileContent };
}
