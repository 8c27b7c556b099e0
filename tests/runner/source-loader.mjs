/**
 * Lets Node run the sources as they are, for the tests and for `node --import ./tests/runner/source-loader.mjs FILE.ts`.
 */
import { existsSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { register } from 'node:module';
import { fileURLToPath } from 'node:url';
import { isMainThread } from 'node:worker_threads';

const PACKAGES = /^@jarfold\/(domain|contracts|workbook|server)(?:\/(planning|platform|calculations))?$/;
const root = new URL('../..', import.meta.url);
const GLOBALS = new URL('globals.mjs', import.meta.url).href;

if (isMainThread) register(import.meta.url);

/** The packages of the house by their sources, `.js` by the `.ts` beside it, and the words of a test by the runner's. */
export async function resolve(specifier, context, next) {
  if (specifier === '@jest/globals') return { url: GLOBALS, shortCircuit: true };
  const ours = PACKAGES.exec(specifier);
  if (ours) return { url: sourceOf(ours[1], ours[2]).href, shortCircuit: true };
  if (specifier.startsWith('.') && context.parentURL?.startsWith(root.href) && specifier.endsWith('.js')) {
    const source = new URL(specifier.replace(/\.js$/, '.ts'), context.parentURL);
    if (existsSync(source)) return { url: source.href, shortCircuit: true };
  }
  return next(specifier, context);
}

function sourceOf(library, door) {
  const folder = new URL(`libs/${library}/src/`, root);
  if (!door) return new URL('index.ts', folder);
  const file = new URL(`${door}.ts`, folder);
  return existsSync(file) ? file : new URL(`${door}/index.ts`, folder);
}

export async function load(url, context, next) {
  if (!url.endsWith('.ts')) return next(url, context);
  const { transform } = await import('@swc/core');
  const filename = fileURLToPath(url);
  const { code } = await transform(await readFile(filename, 'utf8'), {
    filename,
    sourceMaps: 'inline',
    jsc: {
      target: 'es2022',
      parser: { syntax: 'typescript', decorators: true },
      transform: { legacyDecorator: true, decoratorMetadata: true },
      keepClassNames: true,
    },
    module: { type: 'es6' },
  });
  return { format: 'module', source: code, shortCircuit: true };
}
