import { describe, expect, it } from '@jest/globals';
import { usualStrainChance } from './farm-chance.js';
import { KeptLuck } from './kept-luck.js';
import { Luck } from './luck.js';

const chance = usualStrainChance({ id: 'oyster', lossRate: 0.1, daysToRipe: 14 });
const lotOf = (luck: Luck, lot: string) => luck.lot(chance, { lot, grainBatch: 'B1', cycle: 'C1', mother: 'M1' });
const numbersOf = (luck: Luck, lot: string) => {
  const { ripening, life } = lotOf(luck, lot);
  return { clean: [...lotOf(luck, lot).cleanOf(12)], ripening: [...ripening], life: [...life] };
};

describe('luck that is kept', () => {
  it('is the luck that would be drawn: also in the next plan, and of its first draws', () => {
    const kept = new KeptLuck();
    for (const lot of ['A', 'B', 'A']) {
      expect(numbersOf(kept.luck(7, 200), lot)).toEqual(numbersOf(new Luck(7, 200), lot));
      expect(numbersOf(kept.luck(7, 200).first(50), lot)).toEqual(numbersOf(new Luck(7, 50), lot));
    }
  });

  it('is another for another seed and for other numbers of draws', () => {
    const kept = new KeptLuck();
    numbersOf(kept.luck(7, 200), 'A');
    expect(numbersOf(kept.luck(8, 200), 'A')).toEqual(numbersOf(new Luck(8, 200), 'A'));
    expect(numbersOf(kept.luck(7, 100), 'A')).toEqual(numbersOf(new Luck(7, 100), 'A'));
  });

  it('draws nothing twice, and begins anew when it has become too much', () => {
    const kept = new KeptLuck();
    const first = kept.luck(7, 10).shared('lost|A');
    expect(kept.luck(7, 10).shared('lost|A')).toBe(first);
    const luck = kept.luck(7, 10);
    for (let lot = 0; lot < 4_000; lot += 1) luck.shared(`lost|${lot}`);
    expect(luck.shared('lost|A')).toBe(first);
    expect(kept.luck(7, 10).shared('lost|A')).not.toBe(first);
  });
});
