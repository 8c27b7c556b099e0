/**
 * Builds what is out of date: the Prisma client, the TypeScript projects, the web app. Safe to repeat: a second run
 * right after the first does next to nothing. Used by `npm run build`, and by start, test and the command line before
 * they run.
 */
import { spawn } from 'node:child_process';
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = join(dirname(fileURLToPath(import.meta.url)), '..');
const bin = (name) => join(root, 'node_modules', '.bin', name);

/** A digest of names, sizes and times below the given paths: cheap, and enough to see a change. */
function fingerprint(paths) {
  const hash = createHash('sha256');
  const visit = (path) => {
    if (!existsSync(path)) return;
    const info = statSync(path);
    if (!info.isDirectory()) {
      hash.update(`${path}:${info.size}:${info.mtimeMs}\n`);
      return;
    }
    for (const name of readdirSync(path).sort()) {
      if (name !== 'node_modules' && name !== 'dist' && name !== 'generated') visit(join(path, name));
    }
  };
  for (const path of paths) visit(join(root, path));
  return hash.digest('hex');
}

/** Runs the step only when its inputs changed since it last succeeded, or its output is gone. */
async function whenStale(name, inputs, output, step) {
  const stamp = join(root, 'tmp', 'build', `${name}.stamp`);
  const now = fingerprint(inputs);
  if (existsSync(join(root, output)) && existsSync(stamp) && readFileSync(stamp, 'utf8') === now) return;
  await step();
  mkdirSync(dirname(stamp), { recursive: true });
  writeFileSync(stamp, now);
}

function run(command, args, env = {}) {
  return new Promise((resolve, reject) => {
    const child = spawn(command, args, {
      cwd: root,
      stdio: ['ignore', 'pipe', 'pipe'],
      env: { ...process.env, ...env },
    });
    let output = '';
    child.stdout.on('data', (data) => {
      output += data;
    });
    child.stderr.on('data', (data) => {
      output += data;
    });
    child.on('error', reject);
    child.on('close', (code) => {
      if (code === 0) resolve();
      else reject(new Error(`${[command.replace(`${root}/`, ''), ...args].join(' ')} failed:\n${output}`));
    });
  });
}

export async function build({ web = true } = {}) {
  if (!existsSync(bin('tsc'))) {
    if (existsSync(join(root, 'apps/launcher/dist/main.js'))) return; // a production install, built before
    throw new Error('Jarfold is not built and the TypeScript compiler is not installed: run `npm ci` first.');
  }
  // Prisma's CLI would fetch a schema engine it does not need for generating: any existing file keeps it from asking.
  await whenStale('prisma', ['prisma/schema.prisma', 'prisma.config.ts'], 'libs/server/src/platform/generated', () =>
    existsSync(join(root, 'prisma/schema.prisma'))
      ? run(bin('prisma'), ['generate'], {
          PRISMA_SCHEMA_ENGINE_BINARY: process.execPath,
          PRISMA_HIDE_UPDATE_MESSAGE: '1',
        })
      : undefined,
  );
  const sources = ['libs', 'apps', 'tsconfig.base.json', 'package-lock.json'];
  const code = whenStale('tsc', [...sources, 'tsconfig.build.json'], 'libs/domain/dist/index.js', () =>
    run(bin('tsc'), ['-b', 'tsconfig.build.json', '--pretty', 'false']),
  );
  const pages =
    web && existsSync(join(root, 'apps/web/index.html'))
      ? whenStale(
          'web',
          ['apps/web', 'libs/domain/src', 'libs/contracts/src', 'package-lock.json'],
          'apps/web/dist/app/index.html',
          () => run(bin('vite'), ['build', '--logLevel', 'warn', 'apps/web']),
        )
      : undefined;
  await Promise.all([code, pages]);
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  try {
    await build();
  } catch (error) {
    console.error(error.message);
    process.exit(1);
  }
}
