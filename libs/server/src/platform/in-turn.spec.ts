import { describe, expect, it } from '@jest/globals';
import { InTurn } from './in-turn.js';

const soon = () => new Promise((resolve) => setTimeout(resolve, 2));

describe('InTurn', () => {
  it('runs work of one key in order, one at a time, also after a failure', async () => {
    const inTurn = new InTurn();
    const seen: string[] = [];
    const work = (name: string, fails = false) =>
      inTurn.run('farm', async () => {
        seen.push(`${name} begins`);
        await soon();
        seen.push(`${name} ends`);
        if (fails) throw new Error(name);
        return name;
      });
    const results = await Promise.allSettled([work('a'), work('b', true), work('c')]);
    expect(results.map(({ status }) => status)).toEqual(['fulfilled', 'rejected', 'fulfilled']);
    expect(seen).toEqual(['a begins', 'a ends', 'b begins', 'b ends', 'c begins', 'c ends']);
  });

  it('lets another key go on meanwhile', async () => {
    const inTurn = new InTurn();
    const seen: string[] = [];
    const slow = inTurn.run('one', async () => {
      await soon();
      seen.push('one');
    });
    await inTurn.run('two', async () => seen.push('two'));
    await slow;
    expect(seen).toEqual(['two', 'one']);
  });
});
