import { describe, expect, it } from '@jest/globals';
import { findSpecies, otherSpecies, published, sources, speciesCatalogue, strainDefaults } from './index.js';

describe('the species catalogue', () => {
  it('finds a species by key, Latin name or trade name, whatever the case and hyphens', () => {
    for (const name of ['hericium-erinaceus', 'HERICIUM ERINACEUS', 'Lion’s mane', "lion's mane", ' lions  mane '])
      expect(findSpecies(name)).toMatchObject({ kind: 'known', profile: { key: 'hericium-erinaceus' } });
  });

  it('answers an unknown species with customary values, and says that it is unknown', () => {
    expect(findSpecies('Morchella')).toEqual({ kind: 'other', profile: otherSpecies });
    const values = [...Object.values(otherSpecies.spawn)].filter((v) => v !== null && typeof v === 'object');
    expect(values.length).toBeGreaterThan(5);
  });

  it('has no name twice', () => {
    const names = speciesCatalogue.flatMap((s) => [s.key, s.latinName.toLowerCase(), ...s.tradeNames]);
    expect(new Set(names).size).toBe(names.length);
    expect(new Set(speciesCatalogue.map((s) => s.codeHint)).size).toBe(speciesCatalogue.length);
  });

  it('never chills a species the cold harms, and names the temperature', () => {
    for (const { spawn } of speciesCatalogue) {
      expect(spawn.coldLifeDays === null).toBe(!spawn.mayBeChilled);
      expect(spawn.coldHarmBelowC === null).toBe(spawn.mayBeChilled);
      if (spawn.coldHarmBelowC)
        expect(spawn.coldStoreTemperatureC.value).toBeGreaterThanOrEqual(spawn.coldHarmBelowC.value);
    }
    const sensitive = speciesCatalogue.filter((s) => !s.spawn.mayBeChilled).map((s) => s.codeHint);
    expect(sensitive).toEqual(['PK', 'AL', 'PS']);
  });

  it('keeps plausible physical ranges', () => {
    for (const { spawn, cropping } of [...speciesCatalogue, otherSpecies]) {
      expect(spawn.daysToRipe.value).toBeGreaterThanOrEqual(7);
      expect(spawn.daysToRipe.value).toBeLessThanOrEqual(30);
      expect(spawn.incubationTemperatureC.value).toBeLessThanOrEqual(spawn.growthOptimumC.value + 3);
      expect(spawn.lossRate.value).toBeGreaterThan(0);
      expect(spawn.lossRate.value).toBeLessThan(1);
      expect(cropping.biologicalEfficiency.value).toBeGreaterThan(0.1);
      expect(cropping.spawnRate.value).toBeGreaterThan(0);
    }
  });

  it('gives a strain its starting numbers with a tenth of a jar as inoculum', () => {
    expect(strainDefaults('oyster', 600)).toEqual({
      inoculumGramsPerContainer: 60,
      daysToRipe: 14,
      lossRate: 0.1,
      warmLifeDays: 14,
      coldLifeDays: 60,
      mayBeChilled: true,
      lastGeneration: 3,
    });
    expect(strainDefaults('pink oyster', 600)).toMatchObject({ mayBeChilled: false, coldLifeDays: 14 });
  });

  it('refuses a published value that lies outside its own range', () => {
    expect(() => published(5, 'GGMM', 'read', { range: [6, 7] })).toThrow('outside its own range');
  });

  it('names the author and the place of every source', () => {
    for (const [key, source] of Object.entries(sources)) {
      expect([key, source.by.length > 3, source.title.length > 8, source.where.length > 3]).toEqual([
        key,
        true,
        true,
        true,
      ]);
    }
  });
});
