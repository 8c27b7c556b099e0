import { createHash } from 'node:crypto';
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Plugin, Rolldown } from 'vite';

const PLACEHOLDER = '__BENCH_FILES__';
const BENCH = /features\/bench\/bench\.tsx$/;

/**
 * Writes into the service worker which files the bench needs and a version made from their contents, so that any change
 * of them is a new version and no change is none.
 */
export function benchOffline(publicDir: string, publicFiles: readonly string[]): Plugin {
  return {
    name: 'bench-offline',
    apply: 'build',
    enforce: 'post',
    generateBundle: {
      order: 'post',
      handler(_options, bundle) {
        const worker = Object.values(bundle).find((file) => file.type === 'chunk' && file.name === 'service-worker');
        if (worker?.type !== 'chunk') throw new Error('The service worker was not built.');
        const page = bundle['index.html'];
        if (page?.type !== 'asset') throw new Error('The page was not built.');
        const files = [...neededBy(bundle), ...publicFiles.map((name) => `/${name}`), '/index.html'].sort();
        const version = versionOf(files, bundle, publicDir);
        const facts = JSON.stringify({ version, files });
        if (!worker.code.includes(PLACEHOLDER)) throw new Error('The service worker asks for no list of files.');
        worker.code = worker.code.replaceAll(PLACEHOLDER, facts);
      },
    },
  };
}

/** The page's own scripts and styles, and everything the bench loads, at once or later. */
function neededBy(bundle: Rolldown.OutputBundle): readonly string[] {
  const chunks = Object.values(bundle).filter((file) => file.type === 'chunk');
  const start = chunks.filter(({ isEntry, name, facadeModuleId }) =>
    isEntry ? name !== 'service-worker' : BENCH.test(facadeModuleId ?? ''),
  );
  const bench = chunks.find(({ facadeModuleId }) => BENCH.test(facadeModuleId ?? ''));
  if (!bench) throw new Error('No chunk of the bench was built.');
  const needed = new Set<string>();
  const take = (fileName: string, later: boolean) => {
    const chunk = bundle[fileName];
    if (needed.has(fileName) || chunk?.type !== 'chunk') return;
    needed.add(fileName);
    for (const css of stylesOf(chunk)) needed.add(css);
    for (const next of chunk.imports) take(next, later);
    if (later) for (const next of chunk.dynamicImports) take(next, later);
  };
  for (const { fileName } of start) take(fileName, fileName === bench.fileName);
  return [...needed].map((fileName) => `/${fileName}`);
}

function stylesOf(chunk: Rolldown.OutputChunk): readonly string[] {
  const { viteMetadata } = chunk as { viteMetadata?: { importedCss?: Set<string> } };
  return [...(viteMetadata?.importedCss ?? [])];
}

function versionOf(files: readonly string[], bundle: Rolldown.OutputBundle, publicDir: string): string {
  const hash = createHash('sha256');
  for (const file of files)
    hash
      .update(file)
      .update('\0')
      .update(contentOf(file, bundle, publicDir))
      .update('\0');
  return hash.digest('hex').slice(0, 16);
}

function contentOf(file: string, bundle: Rolldown.OutputBundle, publicDir: string): string | Uint8Array {
  const built = bundle[file.slice(1)];
  if (built) return built.type === 'chunk' ? built.code : built.source;
  const path = join(publicDir, file);
  if (!existsSync(path)) throw new Error(`${path} is to be kept for the bench and is missing.`);
  return readFileSync(path);
}
