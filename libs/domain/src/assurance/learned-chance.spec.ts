import { describe, expect, it } from '@jest/globals';
import type { RipeningDays } from '../growth/days-to-ripe.js';
import { chanceRipeBy } from '../growth/ripe-by.js';
import { normalCdf } from '../statistics/distributions.js';
import { usualStrainChance } from './farm-chance.js';
import { learnedStrainChance, type StrainEvidence } from './learned-chance.js';

const strain = { id: 'oyster', lossRate: 0.2, daysToRipe: 14 };
const published = { mean: 0.08, jars: 20 };
const learned = (low: number, high: number) => ({ value: 0.2, origin: 'learned', n: 160, low, high }) as const;
const none: StrainEvidence = {
  ...{ loss: { value: 0.08, origin: 'species', n: 0, low: null, high: null }, published },
  ...{ lots: [], ripening: null, ripeningJars: 0 },
};
const lots = (hits: readonly number[]) => hits.map((each) => ({ hits: each, n: 8 }));
const even = lots(Array.from({ length: 40 }, (_, place) => 1 + (place % 3 === 0 ? 1 : 0)));
const uneven = lots(Array.from({ length: 40 }, (_, place) => (place % 4 === 0 ? 6 : 0)));

describe('chance learned from a log', () => {
  it('is the usual one, less certain of its loss, for a farm that has no log', () => {
    const { chance, grounds } = learnedStrainChance({ ...strain, lossRate: 0.08 }, none, [[]]);
    const usual = usualStrainChance(strain);
    // What twenty jars tell of a rate varies as one in twenty-one.
    expect(chance.lotCorrelation).toBeCloseTo(usual.lotCorrelation + 1 / 21, 2);
    expect(chance.shared.strain).toBeGreaterThan(0.5);
    expect(chance.lotDeviationDays).toBe(usual.lotDeviationDays);
    expect(grounds).toMatchObject({ loss: 'species', spread: 'usual', ripening: 'usual', lots: 0, jars: 0 });
  });

  it('takes how lots differ from the strain’s own lots, and from the farm’s for a strain that is new', () => {
    const evidence = { ...none, loss: learned(0.14, 0.26) };
    const same = learnedStrainChance(strain, { ...evidence, lots: even }, [even]);
    const apart = learnedStrainChance(strain, { ...evidence, lots: uneven }, [uneven]);
    const fresh = learnedStrainChance(strain, evidence, [uneven, []]);
    expect(apart.chance.lotCorrelation).toBeGreaterThan(same.chance.lotCorrelation + 0.2);
    expect(same.chance.lotCorrelation).toBeLessThan(0.05);
    expect(fresh.chance.lotCorrelation).toBeCloseTo(apart.chance.lotCorrelation, 2);
    expect([same, apart, fresh].map(({ grounds }) => grounds.spread)).toEqual(['strain', 'strain', 'farm']);
    expect(apart.grounds).toMatchObject({ lots: 40, jars: 320, loss: 'learned' });
  });

  it('lets all lots of a strain share what is not known of its rate', () => {
    const shareOf = (low: number, high: number) =>
      learnedStrainChance(strain, { ...none, loss: learned(low, high), lots: even }, [even]).chance.shared.strain;
    expect(shareOf(0.05, 0.4)).toBeGreaterThan(shareOf(0.17, 0.23) + 0.2);
  });

  it('leaves the farm’s own word its loss without doubt', () => {
    const word = { value: 0.2, origin: 'farm', n: 0, low: null, high: null } as const;
    expect(learnedStrainChance(strain, { ...none, loss: word }, [[]]).chance).toEqual(usualStrainChance(strain));
  });

  it('ripens as the log’s distribution does: half, early and late days within a tenth', () => {
    const ripening: RipeningDays = {
      median: { kind: 'estimate', value: 13.6, low: 13.4, high: 13.8, level: 0.95, n: 300 },
      ...{ earlyDays: 0, usualDays: 13.6, lateDays: 0, shape: 6, scaleDays: 14.46, ownShare: 1 },
    };
    const { chance, grounds } = learnedStrainChance(strain, { ...none, ripening, ripeningJars: 300 }, [[]]);
    const spread = Math.hypot(chance.lotDeviationDays, chance.containerDeviationDays);
    expect(chance.daysToRipe).toBeCloseTo(13.6, 6);
    for (const day of [11, 12, 13, 14, 15, 16, 17])
      expect(Math.abs(normalCdf((day - chance.daysToRipe) / spread) - chanceRipeBy(ripening, 0, day))).toBeLessThan(
        0.1,
      );
    expect(grounds).toMatchObject({ ripening: 'learned', ripeningJars: 300 });
  });
});
