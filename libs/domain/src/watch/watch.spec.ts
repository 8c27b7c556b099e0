import { describe, expect, it } from '@jest/globals';
import { addDays, calendarDay } from '../calendar/calendar-day.js';
import { type LotCell, rateOverTime, ripeningOfStrain } from '../rates/index.js';
import { findSpecies } from '../species/find-species.js';
import { seededRandom } from '../statistics/seeded-random.js';
import { heatMethods } from '../sterilising/methods.js';
import {
  ageingFlags,
  badMotherFlags,
  contaminationFlags,
  cycleFlags,
  fewMothersFlags,
  flagChanges,
  type KinJar,
  mothersMissingNow,
  slowLotFlags,
} from './index.js';

const asOf = calendarDay('2026-11-25');
const unused = (code: string, expires: number, cold = true) => ({
  ...{ code, lotCode: code.split('/')[0]!, strainId: 's', cold, grams: 600, expiresOn: addDays(asOf, expires) },
});

describe('stock without a use', () => {
  it('is one flag a lot, with the days left and the run that could take it', () => {
    const run = { name: 'Tuesday straw', day: addDays(asOf, 4), strainIds: ['s'], shortGrams: 900 };
    const late = { ...run, name: 'Too late', day: addDays(asOf, 9), shortGrams: 5000 };
    const flags = ageingFlags([unused('A-1/01', 6), unused('A-1/02', 8)], [late, run], asOf);
    expect(flags).toHaveLength(1);
    expect(flags[0]).toMatchObject({ kind: 'ageing-out', cause: 'ageing-out/A-1', where: ['A-1/01', 'A-1/02'] });
    expect(flags[0]!.what).toContain('1200 g) too old in 6 days');
    expect(flags[0]!.action).toContain('Tuesday straw');
  });

  it('is stranded, not ageing out, while it is warm or has long to go', () => {
    const flags = ageingFlags([unused('A-1/01', 20), unused('B-1/01', 5, false)], [], asOf);
    expect(flags.map(({ cause }) => cause).sort()).toEqual(['stranded/A-1', 'stranded/B-1']);
    expect(ageingFlags([unused('A-1/01', 40)], [], asOf)).toEqual([]);
  });

  it('too old already is told so, and sent to be tried or thrown away rather than planned for', () => {
    const [flag] = ageingFlags([unused('A-1/01', -3)], [], asOf);
    expect(flag!.what).toBe('1 chilled jar of A-1 (600 g) too old since 3 days.');
    expect(flag!.action).toContain('regrows');
  });
});

describe('a mother', () => {
  const born = (back: number) => addDays(asOf, -back);
  /** Children made 20 days ago in one load; the first ones went bad four days later. */
  const family = (mother: string, bad: number, good: number, load: string | null = mother): KinJar[] => [
    { code: mother, mothers: [], seen: 'good', onHand: true, madeOn: born(40), badOn: null, load: null },
    ...Array.from(
      { length: bad + good },
      (_, i): KinJar => ({
        ...{ code: `${mother}-${i}`, mothers: [mother], seen: i < bad ? 'bad' : 'good', onHand: i >= bad, load },
        ...{ madeOn: born(20), badOn: i < bad ? born(16) : null },
      }),
    ),
  ];
  const usual = [1, 2, 3, 4, 5, 6].flatMap((i) => family(`U${i}`, 1, 7));

  it('whose jars nearly all went bad is flagged with what of hers still stands, since the first; others are not', () => {
    const flags = badMotherFlags([...usual, ...family('M1', 7, 1)], asOf);
    expect(flags.map(({ cause }) => cause)).toEqual(['bad-mother/M1']);
    expect(flags[0]).toMatchObject({ where: ['M1', 'M1-7'], since: born(16) });
  });

  it('is not blamed for what also befell the jars of other mothers in the same load', () => {
    const load = [...family('M1', 7, 1, 'C9'), ...family('M2', 6, 2, 'C9'), ...family('M3', 7, 1, 'C9')];
    expect(badMotherFlags([...usual, ...load], asOf)).toEqual([]);
    const alone = [...family('M1', 7, 1, 'C9'), ...family('M2', 1, 7, 'C9'), ...family('M3', 0, 8, 'C9')];
    expect(badMotherFlags([...usual, ...alone], asOf).map(({ cause }) => cause)).toEqual(['bad-mother/M1']);
  });

  it('is not blamed for the first bad jars of a lot whose others are not judged yet', () => {
    const young = family('M1', 3, 5).map((jar) => (jar.seen === 'good' ? { ...jar, seen: null } : jar));
    expect(badMotherFlags([...usual, ...young], asOf)).toEqual([]);
  });

  it('found bad herself is flagged with the jars made from her shortly before, not with those of long ago', () => {
    const clean = family('M1', 0, 4);
    const [mother, ...children] = clean;
    const bad = { ...mother!, seen: 'bad' as const, badOn: born(10), onHand: false };
    const [flag, ...others] = badMotherFlags([...usual, bad, ...children], asOf);
    expect(others).toEqual([]);
    expect(flag).toMatchObject({ cause: 'bad-mother/M1', since: born(10), where: children.map(({ code }) => code) });
    expect(badMotherFlags([...usual, { ...bad, badOn: born(2) }, ...children], asOf)).toEqual([]);
  });

  it('settles once none of her jars stands any more', () => {
    const gone = family('M1', 7, 1).map((jar) => ({ ...jar, onHand: false }));
    expect(badMotherFlags([...usual, ...gone], asOf)).toEqual([]);
    expect(badMotherFlags([], asOf)).toEqual([]);
  });

  it('missing this very day is flagged, whatever the plan says of later', () => {
    const kept = (reserve: number, onHand: number) => [{ strainCode: 'OY1', reserve, onHand }];
    expect(mothersMissingNow(kept(2, 2), asOf)).toEqual([]);
    const [flag] = fewMothersFlags(mothersMissingNow(kept(2, 1), asOf), asOf);
    expect(flag).toMatchObject({ what: 'OY1 lacks 1 mother jar.', since: asOf });
  });

  it('missing soon is flagged, missing in two months is not', () => {
    const gap = (from: number) => ({
      strainCode: 'OY1',
      from: addDays(asOf, from),
      until: addDays(asOf, from + 9),
      missing: 1,
    });
    expect(fewMothersFlags([gap(3)], asOf)).toMatchObject([{ kind: 'few-mothers', cause: 'few-mothers/OY1' }]);
    expect(fewMothersFlags([gap(60)], asOf)).toEqual([]);
    const [flag, ...others] = fewMothersFlags(
      [
        { ...gap(8), missing: 0.4 },
        { ...gap(2), missing: 1.2 },
      ],
      asOf,
    );
    expect(others).toEqual([]);
    expect(flag!.what).toBe(`OY1 will lack from ${addDays(asOf, 2)} on 2 mother jars.`);
  });
});

describe('a lot and a cycle', () => {
  it('still unripe long after its strain is slow; one in its usual days is not', () => {
    const seen = { strainId: 's', generation: 2, roomId: null, temperatureC: null, jars: 100 };
    const days = ripeningOfStrain([{ ...seen, afterDays: 12, byDays: 15 }], 14, findSpecies('oyster').profile);
    const lot = (code: string, unripeAtDays: number) => ({
      code,
      strainId: 's',
      madeOn: addDays(asOf, -30),
      unripeAtDays,
    });
    const flags = slowLotFlags([lot('slow', 24), lot('usual', 12)], new Map([['s', days.onThisFarm]]));
    expect(flags.map(({ cause }) => cause)).toEqual(['slow-lot/slow']);
  });

  it('held too short departs; a boiling as long as its method asks does not', () => {
    const cycle = (code: string, key: string, holdMin: number) => {
      const method = heatMethods.find((each) => each.key === key)!;
      const record = {
        ...{ method, altitudeM: 0, declaredHoldMin: method.holdMin.value, trace: null, holdMin },
        ...{ gaugePressureKpa: 104, comeUpAllowanceMin: 0, interrupted: false },
      };
      return { code, endedOn: asOf, record };
    };
    const flags = cycleFlags([cycle('short', 'boiling_water_steam', 20), cycle('usual', 'boiling_water_steam', 60)]);
    expect(flags.map(({ cause }) => cause)).toEqual(['cycle-departed/short']);
    expect(flags[0]!.what).toContain('short hold');
  });
});

describe('flags over days', () => {
  const flag = (cause: string) => ({
    cause,
    kind: 'stranded' as const,
    what: '',
    where: [],
    since: asOf,
    why: '',
    action: '',
  });

  it('come once for one cause, and settle when it is gone', () => {
    const changes = flagChanges(['a', 'b'], [flag('b'), flag('c'), flag('c')]);
    expect(changes.raise.map(({ cause }) => cause)).toEqual(['c']);
    expect(changes.keep.map(({ cause }) => cause)).toEqual(['b']);
    expect(changes.settle).toEqual(['a']);
  });

  it('that come back shortly after they settled stand again without being news', () => {
    const changes = flagChanges([], [flag('a'), flag('b')], ['a']);
    expect(changes.raise.map(({ cause }) => cause)).toEqual(['b']);
    expect(changes.back.map(({ cause }) => cause)).toEqual(['a']);
  });

  it('of a shift of the rate keep the name they were raised by, whatever week it now seems to have begun in', () => {
    const shift = { ...flag('contamination-shift/2026-W44'), kind: 'contamination-shift' as const };
    const changes = flagChanges(['contamination-shift/2026-W45'], [shift]);
    expect(changes).toMatchObject({ raise: [], settle: [] });
    expect(changes.keep.map(({ cause }) => cause)).toEqual(['contamination-shift/2026-W45']);
  });
});

describe('a shift of the contamination rate', () => {
  const FIRST = calendarDay('2025-11-24');
  /** Weeks of 40 jars in five lots; from `shift` on at another rate. */
  const history = (seed: number, weeks: number, shift: number, rate: number): LotCell[] => {
    const random = seededRandom(seed);
    return Array.from({ length: weeks * 5 }, (_, i) => {
      const week = Math.floor(i / 5);
      const chance = week >= shift ? rate : 0.08;
      const contaminated = random.binomial(8, chance);
      return {
        ...{ lotId: `${i}`, madeOn: addDays(FIRST, 7 * week), blank: false, strainId: 's', grainBatchId: null },
        ...{ cycleId: null, method: null, operatorId: 'p', motherId: null, roomId: null, jars: 8, settled: 8 },
        ...{ contaminated, lost: contaminated },
      };
    });
  };
  const flagsAt = (cells: readonly LotCell[], week: number) => {
    const day = addDays(FIRST, 7 * week + 6);
    const seen = cells.filter(({ madeOn }) => madeOn <= day);
    return contaminationFlags(rateOverTime(seen, 'week'), [], day);
  };

  it('to four times the usual is found within two weeks of lots in at least 18 of 20 planted histories', () => {
    const found = Array.from({ length: 20 }, (_, seed) => {
      const cells = history(seed + 1, 32, 30, 0.32);
      return flagsAt(cells, 31).length > 0;
    });
    expect(found.filter(Boolean).length).toBeGreaterThanOrEqual(18);
  });

  it('is called falsely less than once in five farm-months where nothing shifts', () => {
    let months = 0;
    const causes = new Set<string>();
    for (let seed = 101; seed <= 110; seed++) {
      const cells = history(seed, 40, 40, 0.08);
      for (let week = 16; week < 40; week++)
        for (const { cause } of flagsAt(cells, week)) causes.add(`${seed}/${cause}`);
      months += 24 / 4.345;
    }
    expect(causes.size / months).toBeLessThan(0.2);
  });
});
