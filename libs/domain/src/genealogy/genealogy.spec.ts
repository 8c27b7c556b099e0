import { describe, expect, it } from '@jest/globals';
import fc from 'fast-check';
import { type AccountedJar, jarBalance, lineageOf, recall, type Seen, suspicion, usualSuspicion } from './index.js';

const jar = (code: string, ...mothers: string[]) => ({ code, mothers });
const farm = lineageOf([
  jar('G1/a', 'plate'),
  jar('G1/b', 'plate'),
  jar('G2/a', 'G1/a'),
  jar('G2/b', 'G1/a'),
  jar('G3/a', 'G2/a'),
  jar('G3/mixed', 'G2/a', 'G1/b'),
]);

describe('recall', () => {
  it('finds every relative up and down, nearest first, and the sisters', () => {
    expect(recall(farm, ['G2/a'])).toEqual({
      asked: ['G2/a'],
      ancestors: [
        { code: 'G1/a', steps: 1 },
        { code: 'plate', steps: 2 },
      ],
      descendants: [
        { code: 'G3/a', steps: 1 },
        { code: 'G3/mixed', steps: 1 },
      ],
      siblings: ['G2/b'],
    });
    expect(recall(farm, ['plate']).descendants).toHaveLength(6);
    expect(recall(farm, ['G3/mixed']).ancestors.map(({ code }) => code)).toEqual(['G1/b', 'G2/a', 'G1/a', 'plate']);
  });

  it('answers for a whole lot at once without naming its own jars as relatives', () => {
    const { descendants, siblings } = recall(farm, ['G1/a', 'G1/b']);
    expect(descendants.map(({ code }) => code)).toEqual(['G2/a', 'G2/b', 'G3/mixed', 'G3/a']);
    expect(siblings).toEqual([]);
  });

  it('refuses an unknown jar, a jar listed twice, and a jar that is its own ancestor', () => {
    expect(() => recall(farm, ['X'])).toThrow('no jar X');
    expect(() => lineageOf([jar('a'), jar('a')])).toThrow('twice');
    expect(() => lineageOf([jar('a', 'b'), jar('b', 'c'), jar('c', 'a')])).toThrow('own ancestor');
    expect(() => lineageOf([jar('a', 'a')])).toThrow('own ancestor');
  });

  it('is the same told from either end: B descends from A exactly when A is an ancestor of B', () => {
    const anyLineage = fc
      .array(fc.array(fc.nat(1000), { maxLength: 2 }), { minLength: 1, maxLength: 30 })
      .map((mothers) => mothers.map((list, i) => jar(`j${i}`, ...(i === 0 ? [] : list.map((m) => `j${m % i}`)))));
    fc.assert(
      fc.property(anyLineage, (jars) => {
        const lineage = lineageOf(jars);
        for (const { code } of jars)
          for (const { code: descendant, steps } of recall(lineage, [code]).descendants)
            expect(recall(lineage, [descendant]).ancestors).toContainEqual({ code, steps });
      }),
      { numRuns: 50 },
    );
  });
});

describe('the balance of jars', () => {
  const accounted = (over: Partial<AccountedJar>): AccountedJar => ({
    code: 'x',
    fate: 'ripe',
    madeG: 500,
    drawnG: 0,
    leftG: 500,
    discardedG: 0,
    ...over,
  });

  it('adds up jars and grams, and names the jar whose grams are missing', () => {
    const balance = jarBalance([
      accounted({ code: 'a' }),
      accounted({ code: 'b', fate: 'used', drawnG: 480, leftG: 0, discardedG: 20 }),
      accounted({ code: 'c', fate: 'opened', drawnG: 100, leftG: 350 }),
    ]);
    expect(balance).toMatchObject({
      jars: 3,
      present: 2,
      gone: 1,
      madeG: 1500,
      drawnG: 580,
      leftG: 850,
      discardedG: 20,
      unaccountedG: 50,
    });
    expect(balance.unbalanced).toEqual([{ code: 'c', unaccountedG: 50 }]);
    expect(balance.byFate).toEqual({ ripe: 1, used: 1, opened: 1 });
    expect(jarBalance([])).toMatchObject({ jars: 0, unaccountedG: 0, unbalanced: [] });
    expect(() => jarBalance([accounted({ leftG: -1 })])).toThrow('-1 g');
  });
});

/** Chance of each jar being bad by adding up all states of a family, written without the messages of the code. */
function byCounting(
  codes: readonly string[],
  mothers: Readonly<Record<string, string | null>>,
  seen: ReadonlyMap<string, Seen>,
) {
  const { ownRisk, passesOn, hiddenRisk } = usualSuspicion;
  const sight: Record<Seen, readonly [good: number, bad: number]> = {
    bad: [hiddenRisk / 10, 1 - hiddenRisk],
    good: [1 - hiddenRisk / 10, hiddenRisk],
  };
  const states = Array.from({ length: 2 ** codes.length }, (_, bits) => {
    const bad = (code: string | null) => code !== null && ((bits >> codes.indexOf(code)) & 1) === 1;
    const weight = codes.reduce((product, code) => {
      const risk = bad(mothers[code]!) ? 1 - (1 - ownRisk) * (1 - passesOn) : ownRisk;
      const looked = seen.get(code);
      return product * (bad(code) ? risk : 1 - risk) * (looked ? sight[looked][bad(code) ? 1 : 0] : 1);
    }, 1);
    return { bad, weight };
  });
  const all = states.reduce((sum, { weight }) => sum + weight, 0);
  const chance = (code: string) => states.reduce((sum, { bad, weight }) => sum + (bad(code) ? weight : 0), 0) / all;
  return Object.fromEntries(codes.map((code) => [code, chance(code)]));
}

describe('suspicion along lineage', () => {
  const children = (mother: string, count: number) =>
    Array.from({ length: count }, (_, i) => jar(`${mother}/${i}`, mother));
  const lineage = lineageOf([jar('M1', 'plate'), jar('M2', 'plate'), ...children('M1', 8), ...children('M2', 8)]);
  const of = (result: ReturnType<typeof suspicion>, code: string) => result.find((each) => each.code === code)!;

  it('points from bad children back to their common mother, and on to her other children', () => {
    const seen = new Map<string, Seen>([
      ['M1/0', 'bad'],
      ['M1/1', 'bad'],
      ['M1/2', 'bad'],
      ['M2/0', 'good'],
      ['M2/1', 'good'],
      ['M2/2', 'good'],
    ]);
    const result = suspicion(lineage, seen);
    expect(of(result, 'M1').suspicion).toBeGreaterThan(0.9);
    expect(of(result, 'M1/7').suspicion).toBeGreaterThan(0.8);
    expect(of(result, 'M2').suspicion).toBeLessThan(0.1);
    expect(of(result, 'M2/7').suspicion).toBeLessThan(0.2);
    expect(of(result, 'M1')).toMatchObject({ childrenSeen: 3, childrenBad: 3 });
  });

  it('points from a bad mother to all her children', () => {
    const result = suspicion(lineage, new Map([['M1', 'bad']]));
    for (let i = 0; i < 8; i++) expect(of(result, `M1/${i}`).suspicion).toBeGreaterThan(0.85);
    expect(of(result, 'M2/0').suspicion).toBeLessThan(of(result, 'M1/0').suspicion);
  });

  it('takes one bad child among eight for a fault of its own', () => {
    const seen = new Map<string, Seen>([
      ['M1/0', 'bad'],
      ...Array.from({ length: 7 }, (_, i) => [`M1/${i + 1}`, 'good'] as const),
    ]);
    expect(of(suspicion(lineage, seen), 'M1').suspicion).toBeLessThan(0.02);
  });

  it('with nothing seen is the usual chance, rising with the generation', () => {
    const result = suspicion(lineage, new Map());
    for (const { suspicion: chance, usual } of result) expect(chance).toBeCloseTo(usual, 9);
    expect(of(result, 'plate').usual).toBeCloseTo(0.1, 12);
    expect(of(result, 'M1').usual).toBeGreaterThan(0.1);
  });

  it('agrees with counting all states of a small family', () => {
    const small = lineageOf([jar('a', 'root'), jar('b', 'a'), jar('c', 'a')]);
    const seen = new Map<string, Seen>([
      ['b', 'bad'],
      ['c', 'good'],
    ]);
    const chances = byCounting(['root', 'a', 'b', 'c'], { root: null, a: 'root', b: 'a', c: 'a' }, seen);
    for (const { code, suspicion: chance } of suspicion(small, seen)) expect(chance).toBeCloseTo(chances[code]!, 9);
  });

  it('stays between 0 and 1 with a thousand bad children', () => {
    const wide = lineageOf(children('M', 1000));
    const result = suspicion(wide, new Map(children('M', 1000).map(({ code }) => [code, 'bad'] as const)));
    for (const { suspicion: chance } of result) expect(chance >= 0 && chance <= 1).toBe(true);
    expect(() => suspicion(wide, new Map(), { ...usualSuspicion, ownRisk: 0 })).toThrow('between 0 and 1');
  });
});
