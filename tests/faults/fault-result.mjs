import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname } from 'node:path';

const SUMS = [
  ...['attempted', 'acked', 'refused', 'settled', 'requests', 'faults', 'restarts', 'signIns', 'lost', 'doubled'],
];
/** Of one seed that failed, so many of its breaches are kept. */
const BREACHES_KEPT = 5;

/**
 * What came of many seeds, kept in a file after every one of them: a run that is cut short still tells how far it came.
 * `seeds` lists those that are done; a failed seed is counted and named, with what was found.
 */
export class FaultResult {
  #file;
  #kept;

  /** @param {{ file: string, level: string, commit: string, add: boolean }} options `add` goes on from what the file holds */
  constructor({ file, level, commit, add }) {
    this.#file = file;
    const before = add && existsSync(file) ? JSON.parse(readFileSync(file, 'utf8')) : null;
    this.#kept = before?.level === level ? before : emptyResult(level);
    if (!this.#kept.commits.includes(commit)) this.#kept.commits.push(commit);
  }

  get json() {
    return this.#kept;
  }

  /** Whether every seed so far came out clean. */
  get clean() {
    return this.#kept.failedSeeds.length === 0;
  }

  /** @param {{ seed: number, breaches: string[] }} report of one seed; one that broke down has no counts */
  add(report) {
    const { seed, breaches, kills = {}, drainMin = 0 } = report;
    const kept = this.#kept;
    const done = new Set([...seedsOf(kept.seeds), seed]);
    kept.date = new Date().toISOString().slice(0, 10);
    kept.run += done.size - seedsOf(kept.seeds).length;
    kept.seeds = rangesOf([...done]);
    for (const name of SUMS) kept[name] += report[name] ?? 0;
    for (const [part, count] of Object.entries(kills)) kept.kills[part] = (kept.kills[part] ?? 0) + count;
    kept.longestDrainMin = Math.max(kept.longestDrainMin, drainMin);
    if (breaches.length > 0) kept.failedSeeds.push({ seed, breaches: breaches.slice(0, BREACHES_KEPT) });
    this.#write();
  }

  #write() {
    mkdirSync(dirname(this.#file), { recursive: true });
    writeFileSync(this.#file, `${JSON.stringify(this.#kept, null, 2)}\n`);
  }
}

function emptyResult(level) {
  const sums = Object.fromEntries(SUMS.map((name) => [name, 0]));
  return { date: '', level, commits: [], seeds: '', run: 0, ...sums, kills: {}, longestDrainMin: 0, failedSeeds: [] };
}

/** `1..3, 7` as 1, 2, 3, 7. */
function seedsOf(ranges) {
  return ranges
    .split(', ')
    .filter(Boolean)
    .flatMap((range) => {
      const [first, last = first] = range.split('..').map(Number);
      return Array.from({ length: last - first + 1 }, (_, at) => first + at);
    });
}

function rangesOf(seeds) {
  const ranges = [];
  for (const seed of seeds.sort((a, b) => a - b)) {
    const range = ranges.at(-1);
    if (range && range[1] === seed - 1) range[1] = seed;
    else ranges.push([seed, seed]);
  }
  return ranges.map(([first, last]) => (first === last ? `${first}` : `${first}..${last}`)).join(', ');
}
