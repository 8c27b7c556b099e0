/**
 * Level A at full size, by many seeds: `run.mjs` starts it. One line of JSON per seed goes to standard output as soon as
 * the seed is done. Two seeds run side by side, so that one works while the other waits for the database.
 */
import globalSetup from '../support/global-setup.js';
import { createTestDatabase, type TestDatabase } from '../support/test-database.js';
import { FULL_SIZE, simulate } from './simulation.js';

const SIDE_BY_SIDE = 2;
/** A database is left behind after so many seeds: what it has to look after grows with every one. */
const SEEDS_PER_DATABASE = 8;

const waiting = seedsAsked(process.argv[2] ?? '');

await globalSetup();
await Promise.all(Array.from({ length: SIDE_BY_SIDE }, () => runSeeds()));
await globalThis.jarfoldTestServer?.stop();

async function runSeeds(): Promise<void> {
  while (waiting.length > 0) {
    const database = await createTestDatabase({ maxConnections: 6 });
    try {
      for (let run = 0; run < SEEDS_PER_DATABASE; run += 1) {
        const seed = waiting.shift();
        if (seed === undefined) return;
        process.stdout.write(`${JSON.stringify(await reportOf(seed, database))}\n`);
      }
    } finally {
      await database.close();
    }
  }
}

/** `1..500`, or seeds one by one as `3,17`. */
function seedsAsked(asked: string): number[] {
  const [, first, last] = /^(\d+)\.\.(\d+)$/.exec(asked) ?? [];
  if (first === undefined) return asked.split(',').map(Number);
  return Array.from({ length: Number(last) - Number(first) + 1 }, (_, at) => Number(first) + at);
}

/** A run that breaks down has found something too: it counts as a breach, and the others go on. */
async function reportOf(seed: number, database: TestDatabase): Promise<object> {
  try {
    return await simulate(seed, FULL_SIZE, { database });
  } catch (error) {
    return { seed, breaches: [`The run broke down: ${error instanceof Error ? error.stack : String(error)}`] };
  }
}
