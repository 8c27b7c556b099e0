import { chmod, mkdir, mkdtemp, readdir, readFile, rm, symlink, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from '@jest/globals';
import { readWorkbookFile, requireDifferent, requireFree, writeWorkbookFile } from './files.js';

let folder: string;
const path = (name: string) => join(folder, name);
const asRoot = process.getuid?.() === 0;

beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'jarfold-files-'));
});

afterEach(() => rm(folder, { recursive: true, force: true }));

describe('reading a file', () => {
  it('says why it cannot be read', async () => {
    await writeFile(path('file'), 'x');
    await expect(readWorkbookFile(path('none.xlsx'))).rejects.toThrow('it does not exist');
    await expect(readWorkbookFile(folder)).rejects.toThrow('it is a folder');
    await expect(readWorkbookFile(path('file/below.xlsx'))).rejects.toThrow('a part of its path is a file');
    await expect(readWorkbookFile('/dev/zero')).rejects.toThrow('it is not an ordinary file');
    await expect(readWorkbookFile(path('a'.repeat(300)))).rejects.toThrow('its name is too long');
  });

  it('does not read what is too large to be a workbook', async () => {
    await writeFile(path('large.xlsx'), Buffer.alloc(20 * 1024 * 1024 + 1));
    await expect(readWorkbookFile(path('large.xlsx'))).rejects.toThrow('it is larger than 20 MB');
  });

  (asRoot ? it.skip : it)('says that permission is denied', async () => {
    await writeFile(path('secret.xlsx'), 'x', { mode: 0o000 });
    await expect(readWorkbookFile(path('secret.xlsx'))).rejects.toThrow('permission is denied');
  });
});

describe('writing a file', () => {
  it('replaces an earlier one whole', async () => {
    await writeFile(path('plan.xlsx'), 'a much longer earlier plan');
    await writeWorkbookFile(path('plan.xlsx'), Buffer.from('new'));
    expect(await readFile(path('plan.xlsx'), 'utf8')).toBe('new');
  });

  it('says why it cannot be written, and leaves nothing behind', async () => {
    await mkdir(path('folder.xlsx'));
    await expect(writeWorkbookFile(path('folder.xlsx'), Buffer.from('x'))).rejects.toThrow('it is a folder');
    await expect(writeWorkbookFile(path('none/plan.xlsx'), Buffer.from('x'))).rejects.toThrow(
      'its folder does not exist',
    );
    expect(await readdir(folder)).toEqual(['folder.xlsx']);
  });

  (asRoot ? it.skip : it)('says that a folder may not be written to', async () => {
    await mkdir(path('locked'));
    await chmod(path('locked'), 0o500);
    await expect(writeWorkbookFile(path('locked/plan.xlsx'), Buffer.from('x'))).rejects.toThrow('permission is denied');
  });
});

describe('files that must not be lost', () => {
  it('an example is not written over a file, but over an empty one', async () => {
    await writeFile(path('mine.xlsx'), 'my farm');
    await writeFile(path('new.xlsx'), '');
    await expect(requireFree(path('mine.xlsx'))).rejects.toThrow('exists already and is kept');
    await expect(requireFree(path('new.xlsx'))).resolves.toBeUndefined();
    await expect(requireFree(path('none.xlsx'))).resolves.toBeUndefined();
  });

  it('a plan is not written over its workbook, by whatever name', async () => {
    await writeFile(path('farm.xlsx'), 'x');
    await symlink(path('farm.xlsx'), path('other.xlsx'));
    await expect(requireDifferent(path('farm.xlsx'), path('other.xlsx'))).rejects.toThrow(
      'is the workbook that is planned',
    );
    await expect(requireDifferent(path('farm.xlsx'), path('plan.xlsx'))).resolves.toBeUndefined();
  });
});
