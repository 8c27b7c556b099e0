import { describe, expect, it } from '@jest/globals';
import { glassShape, levelY } from './glass-shape.js';

describe('the drawn jar', () => {
  it('white rises with the share colonised', () => {
    const heights = [0.1, 0.4, 0.7, 1].map((share) => levelY(share, 25));
    expect(heights).toEqual([...heights].sort((a, b) => b - a));
    expect(levelY(0, 25)).toBe(55);
    expect(levelY(1, 25)).toBe(25);
  });

  it('a jar that has not begun to colonise shows grain and no white', () => {
    const shape = glassShape({ colonised: 0 });
    expect(shape.grain).not.toBeNull();
    expect(shape.mycelium).toBeNull();
  });

  it('an empty jar shows neither', () => {
    const shape = glassShape({ colonised: 0, filled: 0 });
    expect(shape.grain).toBeNull();
    expect(shape.mycelium).toBeNull();
    expect(shape.kernels).toBe('');
  });

  it('an opened jar has lost its tape', () => {
    expect(glassShape({ colonised: 1, opened: true }).tape).toBeNull();
    expect(glassShape({ colonised: 1 }).tape).not.toBeNull();
  });

  it('shares outside 0 to 1 never draw outside the glass', () => {
    expect(glassShape({ colonised: 3 })).toEqual(glassShape({ colonised: 1 }));
    expect(glassShape({ colonised: -1 })).toEqual(glassShape({ colonised: 0 }));
  });
});
