import { describe, expect, it } from '@jest/globals';
import { unstorableTexts } from './unstorable-text.js';

describe('text that cannot be kept', () => {
  it('is found in values and keys, wherever they stand', () => {
    const input = { name: 'a\0b', list: [{ note: 'fine' }, { note: 'half \ud83d' }], 'ke\0y': 1 };
    expect(unstorableTexts(input)).toHaveLength(3);
    expect(unstorableTexts(input)).toEqual(expect.arrayContaining([['name'], ['list', 1, 'note'], ['ke\0y']]));
  });

  it('is not a whole pair, an accent or another script', () => {
    expect(unstorableTexts(['🍄', 'Kräuterseitling', '杏鮑菇', 'a\nb'])).toEqual([]);
  });

  it('is looked for in an input nested deeper than any stack', () => {
    let deep: unknown = '\0';
    for (let i = 0; i < 200_000; i += 1) deep = [deep];
    expect(unstorableTexts(deep)[0]).toHaveLength(200_000);
  });

  it('does not mind the bytes of a file', () => {
    expect(unstorableTexts(Buffer.from([0, 0]))).toEqual([]);
  });
});
