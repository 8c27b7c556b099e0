import { describe, expect, it } from '@jest/globals';
import { SharedTurns } from './shared-turns.js';

const soon = () => new Promise((resolve) => setTimeout(resolve, 2));

/** Doubles numbers and notes who shared a turn; a negative one cannot be done, and spoils the turn it shares. */
function doubling(most: number, isOnesOwn = true) {
  const turns: string[] = [];
  const double = (number: number) => {
    if (number < 0) throw new Error(`not ${number}`);
    return number * 2;
  };
  const done = async <T>(name: string, work: () => T): Promise<T> => {
    turns.push(name);
    await soon();
    return work();
  };
  const shared = new SharedTurns<number, number>(
    {
      together: (_key, numbers) => done(numbers.join('+'), () => numbers.map(double)),
      alone: (_key, number) => done(String(number), () => double(number)),
      isOnesOwn: () => isOnesOwn,
      sizeOf: () => 1,
    },
    most,
  );
  return { shared, turns, all: (numbers: number[]) => Promise.allSettled(numbers.map((n) => shared.run('farm', n))) };
}

const values = (results: readonly PromiseSettledResult<number>[]) =>
  results.map((result) => (result.status === 'fulfilled' ? result.value : String(result.reason)));

describe('SharedTurns', () => {
  it('does together what has gathered, as many as fit, and answers each', async () => {
    const { turns, all } = doubling(3);
    expect(values(await all([1, 2, 3, 4, 5]))).toEqual([2, 4, 6, 8, 10]);
    expect(turns).toEqual(['1+2+3', '4+5']);
  });

  it('lets what comes meanwhile share the turn after', async () => {
    const { shared, turns } = doubling(8);
    const first = shared.run('farm', 1);
    await Promise.resolve();
    await Promise.resolve();
    expect(await Promise.all([first, shared.run('farm', 2), shared.run('farm', 3)])).toEqual([2, 4, 6]);
    expect(turns).toEqual(['1', '2+3']);
  });

  it('tries each alone when one of them cannot be done', async () => {
    const { turns, all } = doubling(8);
    expect(values(await all([1, -2, 3]))).toEqual([2, 'Error: not -2', 6]);
    expect(turns).toEqual(['1+-2+3', '1', '-2', '3']);
  });

  it('gives all of them an error that lies in none', async () => {
    const { turns, all } = doubling(8, false);
    expect(values(await all([1, -2]))).toEqual(['Error: not -2', 'Error: not -2']);
    expect(turns).toEqual(['1+-2']);
  });

  it('keeps others of the key out of a turn of its own', async () => {
    const { shared, turns } = doubling(8);
    const own = shared.runAlone('farm', async () => {
      await soon();
      turns.push('own');
    });
    await Promise.all([own, shared.run('farm', 1), shared.run('other', 2)]);
    expect(turns).toEqual(['2', 'own', '1']);
  });
});
