import { describe, expect, it } from '@jest/globals';
import { OneAtATime } from './one-at-a-time.js';

/** Work that ends when the test says so. */
function held() {
  const rounds: { end: (value: string) => void; fail: (error: Error) => void }[] = [];
  const work = () =>
    new Promise<string>((end, fail) => {
      rounds.push({ end, fail });
    });
  return { rounds, work };
}

const settle = () => new Promise((resolve) => setImmediate(resolve));

describe('OneAtATime', () => {
  it('joins everyone who asks during a round into one more round that begins after it', async () => {
    const { rounds, work } = held();
    const turns = new OneAtATime<string>();
    const first = turns.do('farm', work);
    const others = Array.from({ length: 100 }, () => turns.do('farm', work));
    expect(rounds).toHaveLength(1);
    rounds[0]!.end('first');
    expect(await first).toBe('first');
    await settle();
    expect(rounds).toHaveLength(2);
    rounds[1]!.end('second');
    expect(new Set(await Promise.all(others))).toEqual(new Set(['second']));
    expect(rounds).toHaveLength(2);
  });

  it('does not let one farm wait for another', () => {
    const { rounds, work } = held();
    const turns = new OneAtATime<string>();
    void turns.do('one', work);
    void turns.do('other', work);
    expect(rounds).toHaveLength(2);
  });

  it('goes on after a round that failed', async () => {
    const { rounds, work } = held();
    const turns = new OneAtATime<string>();
    const first = turns.do('farm', work);
    const second = turns.do('farm', work);
    rounds[0]!.fail(new Error('no'));
    await expect(first).rejects.toThrow('no');
    await settle();
    rounds[1]!.end('yes');
    expect(await second).toBe('yes');
    await settle();
    const third = turns.do('farm', work);
    expect(rounds).toHaveLength(3);
    rounds[2]!.end('again');
    expect(await third).toBe('again');
  });
});
