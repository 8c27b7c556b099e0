/**
 * Two files run side by side, so the long ones have to start first: one that starts last keeps a processor waiting for
 * it. Jest knows how long files took from its cache; a fresh clone has none, and then it would go by the size of the
 * file, which says little here. The order below holds for a fresh clone.
 */
import { existsSync } from 'node:fs';
import { join, relative, sep } from 'node:path';
import DefaultSequencer from '@jest/test-sequencer';

const root = join(import.meta.dirname, '../..');
const Sequencer = DefaultSequencer.default ?? DefaultSequencer;

/** Files that take more than half a minute on a slow machine, longest first. */
const LONG = [
  'tests/faults/level-a.test.ts',
  'tests/integration/start.test.ts',
  'tests/integration/api-foreign-ids.test.ts',
  'tests/integration/worker-process.test.ts',
  'tests/integration/api-junk.test.ts',
  'tests/integration/cli-plan.test.ts',
  'tests/integration/old-sheets-bringing.test.ts',
  'tests/integration/hostile-files.test.ts',
  'tests/integration/old-sheets.test.ts',
  'tests/integration/old-sheets-taking-back.test.ts',
  'tests/integration/workbooks.test.ts',
  'tests/integration/demo.test.ts',
  'tests/browser/bench-killed.test.ts',
  'tests/browser/accessibility.test.ts',
  'tests/browser/bench.test.ts',
  'tests/browser/workbooks.test.ts',
  'tests/browser/tablets.test.ts',
  'tests/browser/old-sheets.test.ts',
];

for (const file of LONG)
  if (!existsSync(join(root, file))) throw new Error(`${import.meta.filename} names ${file}, which is not there.`);

export default class LongestFirst extends Sequencer {
  sort(tests) {
    return super.sort(tests).sort((a, b) => rank(a.path) - rank(b.path)); // a stable sort keeps Jest's order in a rank
  }
}

function rank(path) {
  const at = LONG.indexOf(relative(root, path).split(sep).join('/'));
  return at < 0 ? LONG.length : at;
}
