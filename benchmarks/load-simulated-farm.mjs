/**
 * The simulated farm-year is written once, in TypeScript beside the tests that use it. This turns it into JavaScript for
 * the benchmarks, since Node 20 reads no types.
 */
import { mkdir, writeFile } from 'node:fs/promises';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { transformFile } from '@swc/core';

export async function loadSimulatedFarm() {
  const source = fileURLToPath(new URL('../tests/reference/support/simulated-farm.ts', import.meta.url));
  const folder = fileURLToPath(new URL('../tmp/benchmarks/', import.meta.url));
  const { code } = await transformFile(source, {
    jsc: { target: 'es2022', parser: { syntax: 'typescript' } },
    module: { type: 'es6' },
  });
  await mkdir(folder, { recursive: true });
  const file = `${folder}simulated-farm.mjs`;
  await writeFile(file, code);
  return import(pathToFileURL(file).href);
}
