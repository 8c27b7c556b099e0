import { describe, expect, it } from '@jest/globals';
import { thinned } from './thinned.js';

describe('a long trace drawn', () => {
  const long = Array.from({ length: 20_000 }, (_, minute) => ({ minute, temperatureC: minute === 7777 ? 60 : 121 }));

  it('keeps a dip of a single reading, both ends and the order', () => {
    const drawn = thinned(long, 1000);
    expect(drawn.length).toBeLessThanOrEqual(1002);
    expect(drawn).toContainEqual({ minute: 7777, temperatureC: 60 });
    expect([drawn[0]!.minute, drawn.at(-1)!.minute]).toEqual([0, 19_999]);
    expect([...drawn].sort((one, other) => one.minute - other.minute)).toEqual(drawn);
  });

  it('leaves a short one as it is', () => {
    expect(thinned(long.slice(0, 5), 10)).toEqual(long.slice(0, 5));
  });
});
