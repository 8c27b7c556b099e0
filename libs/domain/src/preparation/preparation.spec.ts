import { describe, expect, it } from '@jest/globals';
import fc from 'fast-check';
import { mineralRecipes } from '../grain/minerals.js';
import { heatMethods } from '../sterilising/methods.js';
import { psiToKilopascals } from '../units/index.js';
import { benchPreparation, type FillLine, holdGuidance, type PreparationWanted } from './index.js';

const method = (key: string) => heatMethods.find((each) => each.key === key)!;
const jar: FillLine = { count: 24, volumeMl: 1000, vesselPlaces: 1 };
const wanted = (over: Partial<PreparationWanted> = {}): PreparationWanted => ({
  ...{ lines: [jar], fillShare: 0.75, targetMoisture: 0.5, spareShare: 0, altitudeM: 0, ratedGaugeKpa: null },
  ...{ grain: { name: 'rye', bulkDensityGPerMl: 0.75, moisture: 0.12 }, minerals: mineralRecipes[1]!, stock: [] },
  ...{ method: method('pressure'), vesselPlaces: 20 },
  ...over,
});

describe('a batch for the prep bench', () => {
  it('holds the water together: grain and water taken up are what is drained', () => {
    const { grainG, waterTakenUpG, hydratedG } = benchPreparation(wanted());
    expect(grainG + waterTakenUpG).toBeCloseTo(hydratedG, 6);
    // Half of the drained mass is water: 0.12 of the grain as bought and all that was taken up.
    expect((0.12 * grainG + waterTakenUpG) / hydratedG).toBeCloseTo(0.5, 9);
  });

  it('gives 10 kg of wheat its 120 g of gypsum and 30 g of chalk, in 15 litres (ICAR)', () => {
    const one = benchPreparation(wanted());
    const scale = 10_000 / one.grainG;
    expect(one.gypsumG * scale).toBeCloseTo(120, 9);
    expect(one.chalkG * scale).toBeCloseTo(30, 9);
    expect(one.cookingWaterMl * scale).toBeCloseTo(15_000, 6);
  });

  it('adds sizes up and fills the steriliser with whole jars', () => {
    const lines = [jar, { count: 3, volumeMl: 3000, vesselPlaces: 8 }];
    const both = benchPreparation(wanted({ lines }));
    expect(both.jars).toBe(27);
    expect(both.grainG).toBeCloseTo(
      both.perLine.reduce((sum, { batch }) => sum + batch.grainG, 0),
      9,
    );
    // Two of the large ones take 16 of 20 places; the third goes into the next filling, the small ones around them.
    expect(both.loads).toBe(3);
    expect(both.hold!.baseHoldMin).toBe(120);
  });

  it('never needs fewer fillings than the room asks, and at most one jar more than fits is left over', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 300 }), fc.integer({ min: 1, max: 40 }), (count, vesselPlaces) => {
        const { loads } = benchPreparation(wanted({ lines: [{ ...jar, count }], vesselPlaces }));
        expect(loads).toBe(Math.ceil(count / vesselPlaces));
      }),
      { numRuns: 60 },
    );
  });

  it('buys what is missing in whole packs', () => {
    const [grain] = benchPreparation(wanted({ stock: [{ item: 'rye', onHandG: 2000, packG: 5000 }] })).shopping;
    expect(grain).toMatchObject({ item: 'rye', onHandG: 2000, packs: 1, buyG: 5000 });
  });

  it('of no jars needs nothing, and says why it cannot be', () => {
    expect(benchPreparation(wanted({ lines: [{ ...jar, count: 0 }] }))).toMatchObject({
      grainG: 0,
      loads: 0,
      hold: null,
    });
    expect(() => benchPreparation(wanted({ targetMoisture: 0.1 }))).toThrow('wetter than the target');
    expect(() => benchPreparation(wanted({ lines: [{ ...jar, vesselPlaces: 30 }] }))).toThrow('takes 30 places');
    expect(() => benchPreparation(wanted({ lines: [{ ...jar, count: 1.5 }] }))).toThrow('whole jars');
  });
});

describe('the hold at an altitude', () => {
  const at = (altitudeM: number, ratedGaugeKpa: number | null, key = 'pressure') =>
    holdGuidance({ method: method(key), largestJarMl: 1000, altitudeM, ratedGaugeKpa });

  it('under pressure asks for more gauge in thinner air, and never for more than the vessel is rated for', () => {
    const rated = psiToKilopascals(20);
    expect(at(0, rated)).toMatchObject({ vessel: 'within rating', holdMin: 60 });
    expect(at(1500, rated).gaugePressureKpa!).toBeGreaterThan(at(0, rated).gaugePressureKpa!);
    fc.assert(
      fc.property(fc.integer({ min: -400, max: 6000 }), fc.integer({ min: 30, max: 200 }), (altitudeM, kpa) => {
        expect(at(altitudeM, kpa).gaugePressureKpa!).toBeLessThanOrEqual(kpa);
      }),
      { numRuns: 60 },
    );
  });

  it('in a vessel rated for less makes up with time: at 115 °C by the lethal rate, four times as long', () => {
    // 10 psi at sea level is 115.2 °C; 60 × 10^((121.1 − 115.2) / 10) = 233 minutes.
    const less = at(0, psiToKilopascals(10));
    expect(less.vessel).toBe('above rating');
    expect(less.temperatureC).toBeCloseTo(115.2, 1);
    expect(less.holdMin / (60 * 10 ** ((121.1 - less.temperatureC) / 10))).toBeCloseTo(1, 2);
  });

  it('says that a pressure stands under the condition of the rating when nobody said it', () => {
    expect(at(0, null)).toMatchObject({ vessel: 'rating unknown', holdMin: 60 });
  });

  it('of steaming grows where water boils cooler', () => {
    expect(at(0, null, 'boiling_water_steam')).toMatchObject({ vessel: 'no pressure', holdMin: 60 });
    // At 2,000 m water boils at 93.3 °C: 60 × 10^((100 − 93.3) / 10) = 281 minutes.
    expect(at(2000, null, 'boiling_water_steam').holdMin).toBeGreaterThan(270);
    expect(at(2000, null, 'boiling_water_steam').holdMin).toBeLessThan(290);
  });
});
