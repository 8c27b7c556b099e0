import { describe, expect, it } from '@jest/globals';
import { addDays, calendarDay } from '../calendar/calendar-day.js';
import { causesSince, type LotCell, rateOverTime, ripeningOfStrain } from '../rates/index.js';
import { findSpecies } from '../species/find-species.js';
import { seededRandom } from '../statistics/seeded-random.js';
import { heatMethods } from '../sterilising/methods.js';
import {
  ageingFlags,
  badMotherFlags,
  contaminationFlag,
  contaminationShift,
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
    expect(flag!.what).toBe(`OY1 will lack 2 mother jars from ${addDays(asOf, 2)} on.`);
  });
});

describe('a lot and a cycle', () => {
  it('still unripe long after its strain is slow; one in its usual days is not', () => {
    const seen = { strainId: 's', generation: 2, roomId: null, temperatureC: null, jars: 100 };
    const days = ripeningOfStrain([{ ...seen, afterDays: 12, byDays: 15 }], 14, findSpecies('oyster').profile);
    const lot = (code: string, unripeAtDays: number, ripe = 0) => ({
      ...{ code, strainId: 's', madeOn: addDays(asOf, -30), unripeAtDays, unripe: 8 - ripe, ripe },
    });
    const flagged = (...lots: ReturnType<typeof lot>[]) =>
      slowLotFlags(lots, new Map([['s', days.onThisFarm]])).map(({ cause, what }) => [cause, what]);
    expect(flagged(lot('slow', 24), lot('usual', 12))).toEqual([
      ['slow-lot/slow', 'slow is slower than its strain: not ripe after 24 days.'],
    ]);
    expect(flagged(lot('half', 24, 4), lot('late one', 24, 5))).toEqual([
      ['slow-lot/half', 'half is slower than its strain: 4 of 8 jars not ripe after 24 days.'],
    ]);
    expect(flagged(lot('whole', 15), lot('begun', 15, 1)).map(([cause]) => cause)).toEqual(['slow-lot/whole']);
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
    const shift = contaminationShift(rateOverTime(seen, 'week'), day);
    if (shift === null) return [];
    const name = ({ factor, level }: { factor: string; level: string }) => `${factor} ${level}`;
    return [contaminationFlag(shift, causesSince(seen, shift.began), name, ({ level }) => level)];
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

  /** As above, of two strains and two mothers a week; where `of` holds, from week 26 on at 40 %. */
  const shifted = (seed: number, of: (cell: Partial<LotCell>) => boolean) => {
    const random = seededRandom(seed);
    return history(seed, 32, 32, 0).map((cell, i) => {
      const factors = {
        strainId: `s${i % 2}`,
        grainBatchId: `g${Math.floor(i / 10)}`,
        motherId: `m${Math.floor(i / 2)}`,
      };
      const rate = i >= 26 * 5 && of(factors) ? 0.4 : 0.08;
      const contaminated = random.binomial(8, rate);
      return { ...cell, ...factors, contaminated, lost: contaminated };
    });
  };
  const whyOf = (of: (cell: Partial<LotCell>) => boolean) =>
    Array.from({ length: 10 }, (_, seed) => flagsAt(shifted(seed + 1, of), 31)[0]!);

  it('of one strain, well for most of the year, names it: in at least nine of ten planted histories', () => {
    const flags = whyOf(({ strainId }) => strainId === 's1');
    expect(flags.filter(({ where }) => where.join() === 's1').length).toBeGreaterThanOrEqual(9);
    expect(flags.find(({ where }) => where.join() === 's1')).toMatchObject({
      why: expect.stringMatching(/^Strain s1 explains about \d+ contaminated jars too many/),
      action: expect.stringContaining('use another'),
    });
  });

  it('of all lots alike blames no single factor: in at least nine of ten planted histories', () => {
    const flags = whyOf(() => true);
    const alike = flags.filter(({ why }) => why.startsWith('Something all lots since'));
    expect(alike.length).toBeGreaterThanOrEqual(9);
    expect(alike[0]!.where[0]).toMatch(/^20\d\d-W\d\d$/);
    expect(alike[0]!.action).toContain('what changed for all lots');
  });

  it('that nothing explains yet says so, or names a suspect as one', () => {
    const shift = { label: '2026-W44', weeks: ['2026-W44'], began: FIRST, sentence: 'Up.' };
    const name = ({ level }: { level: string }) => level;
    const told = (found: Parameters<typeof contaminationFlag>[1]) => contaminationFlag(shift, found, name, name);
    const none = told({ kind: 'not enough data', n: 3, needed: 20, reason: 'too few lots' });
    expect(none).toMatchObject({ why: expect.stringContaining('not enough data'), where: ['2026-W44'] });
    const estimate = { kind: 'estimate', level: 0.95, n: 40 } as const;
    const level = (key: string, low: number) => ({
      ...{ factor: 'strain', level: key, lots: 5, jars: 40, contaminated: 8, verdict: 'suspected' as const },
      ...{ oddsRatio: { ...estimate, value: 2, low, high: 4 }, smallestTellable: 3 },
    });
    const suspected = told({
      ...{ kind: 'attribution', lots: 20, jars: 160, blanks: 0, lotCorrelation: 0, causes: [] },
      ...{ rate: { ...estimate, value: 0.1, low: 0, high: 0.2 }, levels: [level('s1', 1.1), level('s2', 1.3)] },
    });
    expect(suspected.where).toEqual(['s2']);
    expect(suspected.why).toBe(
      'Not sure yet: s2 is suspected, with 20 % of 40 jars in 5 lots, odds 2.0 (1.3 to 4.0) times those of the rest. Chance may explain it still.',
    );
  });
});
