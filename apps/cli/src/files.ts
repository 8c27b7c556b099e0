import { randomUUID } from 'node:crypto';
import { readFile, realpath, rename, rm, stat, writeFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { UsageError } from './parse-options.js';

/** Above this no workbook is read; see the limits of the workbook reader. */
const MOST_BYTES = 20 * 1024 * 1024;

const REASONS: Readonly<Record<string, string>> = {
  ENOENT: 'it does not exist',
  EACCES: 'permission is denied',
  EPERM: 'permission is denied',
  EISDIR: 'it is a folder',
  ENOTDIR: 'a part of its path is a file, not a folder',
  EROFS: 'the disk can only be read',
  ENOSPC: 'the disk is full',
  ENAMETOOLONG: 'its name is too long',
  ELOOP: 'its links run in a circle',
};

const ADVICE: Readonly<Record<string, string>> = {
  ENOENT: 'Check the name and the folder.',
  ENOTDIR: 'Check the name and the folder.',
  EACCES: 'Choose another place, or ask for access.',
  EPERM: 'Choose another place, or ask for access.',
  ENOSPC: 'Make room, or choose another place.',
};

const NAME_FILE = 'Name an .xlsx file.';

/** @throws UsageError when the file cannot be read */
export async function readWorkbookFile(file: string): Promise<Buffer> {
  try {
    const info = await stat(file);
    if (info.isDirectory()) throw new UsageError(`Cannot read ${file}: it is a folder.`, NAME_FILE);
    if (!info.isFile()) throw new UsageError(`Cannot read ${file}: it is not an ordinary file.`, NAME_FILE);
    if (info.size > MOST_BYTES)
      throw new UsageError(
        `Cannot read ${file}: it is larger than ${MOST_BYTES / 1024 / 1024} MB.`,
        'Keep pictures and old sheets out of it.',
      );
    return await readFile(file);
  } catch (error) {
    throw explained(error, `Cannot read ${file}`);
  }
}

/**
 * Writes a file whole or not at all: beside it first, then renamed into place.
 * @throws UsageError when it cannot be written
 */
export async function writeWorkbookFile(file: string, bytes: Buffer): Promise<void> {
  const beside = join(dirname(file), `.${randomUUID()}.tmp`);
  try {
    const info = await stat(file).catch(() => null);
    if (info?.isDirectory()) throw new UsageError(`Cannot write ${file}: it is a folder.`, NAME_FILE);
    await writeFile(beside, bytes, { flag: 'wx' });
    await rename(beside, file);
  } catch (error) {
    await rm(beside, { force: true }).catch(() => {});
    throw explained(error, `Cannot write ${file}`, 'its folder does not exist');
  }
}

/** @throws UsageError when there is something that would be lost */
export async function requireFree(file: string): Promise<void> {
  const info = await stat(file).catch(() => null);
  if (info && (info.isDirectory() || info.size > 0)) {
    throw new UsageError(`${file} exists already and is kept.`, 'Name another file, or delete it first.');
  }
}

/** @throws UsageError when the plan would be written over the workbook it is made from */
export async function requireDifferent(file: string, out: string): Promise<void> {
  const [from, to] = await Promise.all([file, out].map((path) => realpath(path).catch(() => path)));
  if (from === to) throw new UsageError(`--out ${out} is the workbook that is planned.`, 'Name another file.');
}

function explained(error: unknown, what: string, whenMissing = 'it does not exist'): unknown {
  if (typeof error !== 'object' || error === null || !('code' in error)) return error;
  const reason = error.code === 'ENOENT' ? whenMissing : REASONS[String(error.code)];
  return reason === undefined
    ? error
    : new UsageError(`${what}: ${reason}.`, ADVICE[String(error.code)] ?? 'Name another file.');
}
