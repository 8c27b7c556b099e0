import type { ApplyReturnedBook, RunPatch } from '@jarfold/contracts';
import {
  type BookReading,
  type CellValues,
  calendarDayAt,
  DomainError,
  decideMerge,
  gramsToKilograms,
  type MergeDecision,
  type ReturnedBook,
  type RunCells,
  runFromCells,
  type StatedRun,
} from '@jarfold/domain';
import { lockFarm, readSettings } from '../farm/index.js';
import { enqueueReplan } from '../jobs/index.js';
import { AppError, type Clock, type GrowerContext, type GrowerTx } from '../platform/index.js';
import { addRunIn, cancelRunIn, changeRunIn } from '../runs/index.js';
import type { FarmNames } from '../stock/index.js';
import type { Progress } from '../under-way/index.js';
import type { BringsIn, FileToBringIn, ImportWork } from './file-importer.js';
import { type ComparedBook, compareBook, idsOfAdded, requireRightBook } from './returned-book.js';

/** What is kept of a returned workbook beside its bytes. */
export interface ReturnedContent {
  readonly reading: BookReading;
  /** What a person said yes to. */
  readonly asked?: ApplyReturnedBook;
}

/** Applies a returned workbook as it was shown and decided on: all of it or nothing. */
export class ReturnedBookWork implements ImportWork {
  constructor(private readonly clock: Clock) {}

  async open({ ctx, content }: FileToBringIn) {
    const { reading, asked } = content as ReturnedContent;
    if (!reading.ok || asked === undefined) return { ok: false as const, reason: 'The file has mistakes.' };
    const all = (tx: GrowerTx, progress: Progress) => this.#all(tx, ctx, reading.book, asked, progress);
    return { ok: true as const, all };
  }

  async #all(
    tx: GrowerTx,
    ctx: GrowerContext,
    book: ReturnedBook,
    { seen, choices }: ApplyReturnedBook,
    progress: Progress,
  ): Promise<BringsIn> {
    await lockFarm(tx, ctx.growerId);
    const compared = await compareBook(tx, ctx.growerId, book);
    requireRightBook(compared, seen);
    const decision = decideMerge(compared.result, definedChoices(choices));
    await this.#carryOut(tx, ctx, book, compared, decision, progress);
    const { edits, adds, deletes } = decision;
    const result = `${adds.length} added, ${edits.size} changed, ${deletes.length} cancelled.`;
    return { result: { outcome: { ...progress.now, result, said: whatItSaid(book, adds) } } };
  }

  async #carryOut(
    tx: GrowerTx,
    ctx: GrowerContext,
    book: ReturnedBook,
    compared: ComparedBook,
    { edits, adds, deletes }: MergeDecision,
    progress: Progress,
  ): Promise<void> {
    progress.expect(edits.size + adds.length + deletes.length);
    let done = 0;
    const step = () => progress.step(++done);
    const now = this.clock.now();
    const { timeZone } = await readSettings(tx, ctx.growerId);
    const today = calendarDayAt(now.getTime(), timeZone);
    const places = placesByKey(book);
    for (const [key, cells] of edits) {
      const patch = patchOf(cells, compared.names, book);
      await placed(places.get(key), () => changeRunIn(tx, ctx, key, revisionOf(compared, key), patch, today));
      step();
    }
    for (const key of deletes) {
      const reason = 'Marked "delete" in a workbook.';
      await placed(places.get(key), () => cancelRunIn(tx, ctx, key, revisionOf(compared, key), reason, now));
      step();
    }
    for (const [row, id] of idsOfAdded(book.exportId, adds)) {
      const { state: _state, substrateWetKg, strainIds, day, ...said } = patchOf(row.values, compared.names, book);
      const wanted = { ...said, id, substrateWetKg: substrateWetKg!, strainIds: strainIds!, day: day! };
      await placed(row.place, () => addRunIn(tx, ctx, wanted));
      step();
    }
    if (edits.size + deletes.length + adds.length > 0) await enqueueReplan(tx, ctx, 'run-changed');
  }
}

/** What every row said: the file is compared with this when it comes back once more. */
function whatItSaid(book: ReturnedBook, adds: MergeDecision['adds']): Record<string, CellValues> {
  const base = new Map(book.base.map(({ key, cells }) => [key, cells]));
  const keyed = book.rows.flatMap(({ key, values }) =>
    key === null ? [] : [[key, { ...base.get(key), ...values }] as const],
  );
  const added = [...idsOfAdded(book.exportId, adds)].map(([{ values }, id]) => [id, values] as const);
  return Object.fromEntries([...keyed, ...added]);
}

const placesByKey = ({ rows }: ReturnedBook) =>
  new Map(rows.flatMap(({ key, place }) => (key === null ? [] : [[key, place] as const])));

function patchOf(cells: CellValues, names: FarmNames, { units }: ReturnedBook): RunPatch {
  const said = runFromCells(cells as Partial<RunCells>, units);
  const { strainCodes, substrateWetG, state, ...rest } = said;
  return {
    ...(rest as Omit<Partial<StatedRun>, 'strainCodes' | 'substrateWetG' | 'state'>),
    ...(substrateWetG === undefined ? {} : { substrateWetKg: gramsToKilograms(substrateWetG) }),
    ...(strainCodes === undefined ? {} : { strainIds: strainCodes.map((code) => idOf(code, names)) }),
    ...(state === undefined || state === 'cancelled' ? {} : { state }),
  } as RunPatch;
}

function idOf(code: string, { strains }: FarmNames): string {
  const found = [...strains.values()].find((strain) => strain.code === code);
  if (found === undefined) throw new AppError('rule-refused', `The farm has no strain ${code}.`);
  return found.id;
}

function revisionOf({ runs }: ComparedBook, key: string): number {
  const run = runs.get(key);
  if (run === undefined) throw notFound();
  return run.revision;
}

/** Says at which row of the file the farm's rules said no. */
async function placed<T>(place: string | undefined, work: () => Promise<T>): Promise<T> {
  try {
    return await work();
  } catch (error) {
    if (error instanceof AppError && error.code === 'rule-refused') {
      throw new AppError('rule-refused', `Row of ${place ?? 'the file'}: ${error.message}`, error.details);
    }
    if (error instanceof DomainError) {
      throw new AppError('rule-refused', `Row of ${place ?? 'the file'}: ${error.message}`);
    }
    throw error;
  }
}

function definedChoices(choices: ApplyReturnedBook['choices']) {
  const { cells, rows, copies } = choices ?? {};
  return { ...(cells ? { cells } : {}), ...(rows ? { rows } : {}), ...(copies ? { copies } : {}) };
}

const notFound = () => new AppError('not-found', 'There is no such file on this farm.');
