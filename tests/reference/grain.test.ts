import {
  carbonToNitrogen,
  convertSpawnRate,
  expansionChain,
  filledJar,
  findGrain,
  massToReachMoisture,
  mineralDose,
  mineralRecipes,
  mixtureMoisture,
  moistureFromDrying,
  poundsToGrams,
  usualFilling,
  waterPerGramOfGrain,
} from '@jarfold/domain';
import { describe, expect, it } from '@jest/globals';

const jar = (grainG: number, waterG: number, grainMoisture: number) =>
  (grainG * grainMoisture + waterG) / (grainG + waterG);

describe('grain against handbooks (GGMM = Stamets 1993, figures seen as a copy)', () => {
  it.each([
    [100, 150, 0.6, 0.64],
    [200, 200, 0.5, 0.55],
  ])(
    '%i g of rye and %i ml of water: printed for bone-dry grain, true with 10 %% ambient moisture (GGMM p. 130)',
    (grainG, waterG, printed, withAmbient) => {
      expect(jar(grainG, waterG, 0)).toBeCloseTo(printed, 12);
      expect(waterPerGramOfGrain(0, printed) * grainG).toBeCloseTo(waterG, 9);
      expect(waterPerGramOfGrain(0.1, withAmbient) * grainG).toBeCloseTo(waterG, 9);
    },
  );

  it.each([
    [0.45, 1.6],
    [0.5, 1.76],
    [0.55, 1.96],
  ])('grain at 12 %% to %d gains mass as (1 − m0)/(1 − M) (computed)', (target, ratio) => {
    expect(1 + waterPerGramOfGrain(0.12, target)).toBeCloseTo(ratio, 2);
  });

  it('10 kg at 12 % take 7.6 kg of water to reach 50 % (computed from the definition of wet basis)', () => {
    expect(10 * waterPerGramOfGrain(0.12, 0.5)).toBeCloseTo(7.6, 12);
  });

  it('a half-litre bottle to three quarters holds 150 to 200 g of wheat (ICAR and MushWorld 2004, seen as copies)', () => {
    const wheat = findGrain('wheat')!;
    const { grainG } = filledJar({
      ...usualFilling(500),
      fillShare: 0.75,
      grain: { bulkDensityGPerMl: wheat.bulkDensityGPerMl.value, moisture: wheat.moisture.value },
    });
    expect(grainG).toBeGreaterThan(150);
    expect(grainG).toBeLessThan(200);
  });

  it('200 g of rye fill a US quart jar half to two thirds once hydrated (GGMM p. 130; the fill is common practice)', () => {
    const full = filledJar({ ...usualFilling(946.353), fillShare: 1 });
    expect(200 / full.grainG).toBeGreaterThan(0.5);
    expect(200 / full.grainG).toBeLessThan(0.667);
  });

  it('minerals: 10 kg take 120 g of gypsum and 30 g of chalk (ICAR); 200 g take 1 g (GGMM p. 130)', () => {
    const both = mineralRecipes.find(({ key }) => key === 'gypsum-and-chalk')!;
    expect(mineralDose(both, 10_000).gypsumG).toBeCloseTo(120, 9);
    expect(mineralDose(both, 10_000).chalkG).toBeCloseTo(30, 9);
    const half = mineralRecipes.find(({ key }) => key === 'gypsum-half-percent')!;
    expect(mineralDose(half, 200).gypsumG).toBeCloseTo(1, 9);
    expect(12 / 3300).toBeGreaterThanOrEqual(half.gypsumShare!.low!);
  });

  it('10 g that dry to 2.3 g held 77 % water (Cornell Waste Management Institute, seen as a copy)', () => {
    expect(moistureFromDrying({ wetG: 10, dryG: 2.3, scaleStepG: 0.1 }).moisture).toBeCloseTo(0.77, 12);
  });

  it('10 kg at 77 % need 6.8 kg at 35 % to reach 60 % (Cornell)', () => {
    const massG = massToReachMoisture({ massG: 10_000, moisture: 0.77, otherMoisture: 0.35, goalMoisture: 0.6 })!;
    expect(massG).toBeCloseTo(6800, 6);
    const part = { carbonShare: null, nitrogenShare: null };
    expect(
      mixtureMoisture([
        { massG: 10_000, moisture: 0.77, ...part },
        { massG, moisture: 0.35, ...part },
      ]),
    ).toBeCloseTo(0.6, 12);
  });

  it('coffee grounds at 20:1 and straw at 80:1 in equal dry parts mix by mass of carbon and nitrogen (Missouri S&T table, formula of Cornell)', () => {
    const ratio = carbonToNitrogen([
      { massG: 5000, moisture: 0.8, carbonShare: 0.4, nitrogenShare: 0.02 },
      { massG: 1000 / 0.88, moisture: 0.12, carbonShare: 0.56, nitrogenShare: 0.007 },
    ]);
    expect(ratio).toBeCloseTo(35.5556, 3);
  });

  it.each([
    ['wheat', 60, 0.772],
    ['rye', 56, 0.721],
    ['maize', 56, 0.721],
    ['barley', 48, 0.618],
    ['oats', 32, 0.412],
    ['sorghum', 56, 0.721],
  ])('%s of %i lb to the bushel weighs %d kg to the litre (USDA test weights, read)', (name, pounds, kgPerL) => {
    const litresPerBushel = 35.23907;
    expect(poundsToGrams(pounds) / 1000 / litresPerBushel).toBeCloseTo(kgPerL, 3);
    const { low, high } = findGrain(name)!.bulkDensityGPerMl;
    expect(kgPerL).toBeGreaterThanOrEqual(low!);
    expect(kgPerL).toBeLessThanOrEqual(high!);
  });
});

describe('spawn rates and expansion against GGMM (seen as a copy)', () => {
  const moistures = { substrateMoisture: 0, spawnMoisture: 0.5 };

  it.each([
    [30, 0.015],
    [70, 0.035],
  ])('%i lb of wet spawn to 1,000 lb of dry substrate are %d dry/dry (p. 128)', (pounds, dryDry) => {
    expect(convertSpawnRate(pounds / 1000, 'wet/dry', 'dry/dry', moistures)).toBeCloseTo(dryDry, 12);
  });

  it.each([
    [80, 0.08, 0.04],
    [150, 0.15, 0.075],
  ])('%i lb of home-made spawn to 1,000 lb dry are %d wet/dry and %d dry/dry (p. 128)', (pounds, wetDry, dryDry) => {
    expect(pounds / 1000).toBeCloseTo(wetDry, 12);
    expect(convertSpawnRate(wetDry, 'wet/dry', 'dry/dry', moistures)).toBeCloseTo(dryDry, 12);
  });

  it('one to ten per step: 120 bags need 12 and 2 (p. 138); one stock bottle makes 30 to 40 bags (ICAR)', () => {
    expect(expansionChain(120, [10, 10])).toEqual([2, 12, 120]);
    expect(expansionChain(100, [10, 10])).toEqual([1, 10, 100]);
    expect(expansionChain(40, [40])).toEqual([1, 40]);
    expect(expansionChain(41, [40])).toEqual([2, 41]);
  });
});
