import { basename } from 'node:path';
import type { ApplyReturnedBook, FileImport, ReturnedBookPreview } from '@jarfold/contracts';
import { FileImporter, ReturnedBooksService, ReturnedBookWork, Stopped } from '@jarfold/server';
import { AppError, type GrowerContext, type Platform, systemClock, systemIds } from '@jarfold/server/platform';
import { markProblems, readWeeklyWorkbook } from '@jarfold/workbook';
import { readWorkbookFile, requireFree, writeWorkbookFile } from '../files.js';
import { UsageError } from '../parse-options.js';
import type { Outcome } from '../run-command.js';
import type { WorkbookCommand } from './command.js';
import { type ProgressLine, progressLine } from './show-progress.js';

type Return = Extract<WorkbookCommand, { readonly kind: 'return' }>;

const ASK_EVERY_MS = 250;

/** Compares a weekly workbook that comes back with the farm, and applies it when that was asked for. */
export async function returnWorkbook(platform: Platform, ctx: GrowerContext, command: Return): Promise<Outcome> {
  if (command.marked !== null) await requireFree(command.marked);
  const { growerDb } = platform;
  const files = { read: readWeeklyWorkbook, mark: markProblems };
  const books = new ReturnedBooksService(growerDb, systemClock, systemIds, files);
  try {
    const preview = await books.upload(ctx, basename(command.file), await readWorkbookFile(command.file));
    if (preview.problems.length > 0) return await withMistakes(books, ctx, command, preview);
    if (!command.apply) return told(command, preview, previewText(preview));
    await books.apply(ctx, preview.import.id, { seen: preview.seen, choices: choicesOf(command, preview) });
    const settled = await brought(platform, ctx, books, preview.import.id, progressLine('Applying', command.progress));
    if (settled.state === 'cancelled') throw new Stopped();
    if (settled.state !== 'applied') throw new UsageError(settled.result ?? 'It was not applied.', '');
    return told(command, settled, `${command.file}: ${settled.result}`);
  } catch (error) {
    if (error instanceof AppError) throw new UsageError(error.message, '');
    throw error;
  }
}

/**
 * Does the worker's work here, unless a worker has taken it already, and shows how far it is until it is settled. Ctrl-C
 * cancels the file, whoever is at it.
 */
async function brought(
  { growerDb }: Platform,
  ctx: GrowerContext,
  books: ReturnedBooksService,
  id: string,
  line: ProgressLine,
): Promise<FileImport> {
  const importer = new FileImporter(growerDb, systemClock, { 'weekly-workbook': new ReturnedBookWork(systemClock) });
  const stop = () => void books.cancel(ctx, id).catch(() => undefined);
  process.once('SIGINT', stop);
  process.once('SIGTERM', stop);
  const work = importer.bringIn(ctx.growerId, id);
  work.catch(() => undefined);
  try {
    for (;;) {
      const { import: now } = await books.preview(ctx, id);
      line.show(now.progress?.done ?? 0, now.progress?.total ?? 0);
      if (now.state !== 'waiting' && now.state !== 'running') return now;
      await new Promise((resolve) => setTimeout(resolve, ASK_EVERY_MS));
    }
  } finally {
    await work;
    process.off('SIGINT', stop);
    process.off('SIGTERM', stop);
    line.end();
  }
}

/** One side for every cell and row on which farm and file disagree. @throws UsageError when there are such and none is said */
function choicesOf({ take }: Return, { conflicts, deleteConflicts }: ReturnedBookPreview) {
  const open = conflicts.length + deleteConflicts.length;
  if (open > 0 && take === null) {
    throw new UsageError(
      `${open} changes conflict with what the farm says now.`,
      'Look at them without --apply; then add --take farm or --take file, or choose one by one in the browser.',
    );
  }
  const side = take === 'file' ? ('theirs' as const) : ('ours' as const);
  const choices: NonNullable<ApplyReturnedBook['choices']> = {
    cells: Object.fromEntries(conflicts.map(({ column }) => [`*/${column}`, side])),
    rows: Object.fromEntries(deleteConflicts.map(({ key }) => [key, side])),
  };
  return choices;
}

async function withMistakes(
  books: ReturnedBooksService,
  ctx: GrowerContext,
  { json, marked }: Return,
  { import: row, problems }: ReturnedBookPreview,
): Promise<Outcome> {
  if (marked !== null) await writeWorkbookFile(marked, (await books.markedCopy(ctx, row.id)).bytes);
  const lines = problems.map(({ sheet, cell, rule, advice }) => {
    const place = [sheet, cell].filter(Boolean).join('!') || 'The file';
    return `${place}: ${rule} ${advice}`;
  });
  const note = marked === null ? [] : [`Wrote ${marked}: your file with its mistakes marked.`];
  const text = json ? JSON.stringify({ errors: problems }, null, 2) : [...lines, ...note].join('\n');
  return json ? { exitCode: 2, output: `${text}\n`, errors: '' } : { exitCode: 2, output: '', errors: `${text}\n` };
}

function previewText({ counts, changes, conflicts, added, deletes, missing }: ReturnedBookPreview): string {
  const shown = (value: unknown) => (value === null ? 'blank' : String(value));
  return [
    `${counts.added} to add, ${counts.changed} to change, ${counts.cancelled} to cancel, ${counts.unchanged} as here, ${counts.conflicts} in conflict.`,
    ...changes.map(
      ({ row, heading, from, to, place }) => `${place} ${row}, ${heading}: ${shown(from)} -> ${shown(to)}`,
    ),
    ...conflicts.map(
      ({ row, heading, base, ours, theirs, place }) =>
        `${place} ${row}, ${heading}: was ${shown(base)}, farm ${shown(ours)}, file ${shown(theirs)}`,
    ),
    ...added.map(({ place }) => `${place}: a new run`),
    ...deletes.map(({ row, place }) => `${place} ${row}: to be cancelled`),
    ...(missing.length === 0 ? [] : [`Not in the file, and kept: ${missing.join(', ')}.`]),
    'Nothing was changed. Add --apply to do it.',
  ].join('\n');
}

const told = ({ json }: Return, data: unknown, text: string): Outcome => ({
  exitCode: 0,
  output: `${json ? JSON.stringify(data, null, 2) : text}\n`,
  errors: '',
});
