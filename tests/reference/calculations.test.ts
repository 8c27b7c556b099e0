import { readFileSync, writeFileSync } from 'node:fs';
import { calculationList, calculations, evaluate } from '@jarfold/contracts/calculations';
import { describe, expect, it } from '@jest/globals';
import fc from 'fast-check';
import { calculationsPage, sixFigures } from './support/calculations-page.js';

const page = new URL('../../docs/calculations.md', import.meta.url);

describe('the open calculator', () => {
  it('has the calculations a grower or a reviewer would ask for', () => {
    const asked =
      'wilson-interval clopper-pearson laney-p-chart kaplan-meier interval-censored-npmle weibull-fit f0-from-trace saturation-temperature boiling-point-at-altitude gauge-pressure-for cardinal-temperature grain-batch spawn-for-run biological-efficiency croston holt logistic-regression benjamini-hochberg newsvendor lot-sizing';
    for (const name of asked.split(' ')) expect([...calculations.keys()]).toContain(name);
  });

  it('names each with a purpose, a source, schemas and an example that answers', () => {
    for (const { name, purpose, source, input, output, example } of calculationList()) {
      expect([name, /^[a-z0-9-]+$/.test(name)]).toEqual([name, true]);
      expect(purpose.length).toBeGreaterThan(10);
      expect(source.length).toBeGreaterThan(5);
      expect(input).toMatchObject({ type: 'object' });
      expect(output).toHaveProperty('$schema');
      expect([name, evaluate(name, example)]).toMatchObject([name, { kind: 'answer' }]);
    }
  });

  it('documents every one, and the page’s examples give what it prints', () => {
    // JARFOLD_WRITE_DOCS=1 writes the page anew after a calculation has changed.
    if (process.env.JARFOLD_WRITE_DOCS) writeFileSync(page, calculationsPage());
    const text = readFileSync(page, 'utf8');
    const examples = [
      ...text.matchAll(/## ([a-z0-9-]+)\n[\s\S]*?```json input\n([\s\S]*?)\n```\n\n```json output\n([\s\S]*?)\n```/g),
    ];
    expect(examples.map(([, name]) => name)).toEqual([...calculations.keys()]);
    for (const [, name, input, output] of examples) {
      const answer = evaluate(name!, JSON.parse(input!));
      expect([name, answer.kind === 'answer' && nearly(sixFigures(answer.output), JSON.parse(output!))]).toEqual([
        name,
        true,
      ]);
    }
    expect(text).toBe(calculationsPage());
  });

  it('names every problem of an input at once, with where it is', () => {
    expect(evaluate('wilson-interval', { hits: -1, n: 'many', extra: 1 })).toMatchObject({
      kind: 'refused',
      errors: [{ pointer: '/hits' }, { pointer: '/n' }, { pointer: '', message: expect.stringContaining('extra') }],
    });
    expect(evaluate('wilson-interval', { hits: 3, n: 2 })).toEqual({
      kind: 'refused',
      name: 'wilson-interval',
      errors: [
        {
          pointer: '',
          code: 'count-out-of-range',
          message: 'A count is whole and lies from 0 to its total: 3 of 2 cannot be.',
        },
      ],
    });
    expect(evaluate('wilson-intervall', {})).toMatchObject({
      errors: [{ code: 'unknown-calculation', message: expect.stringContaining('wilson-interval') }],
    });
    expect(
      evaluate('f0-from-trace', {
        trace: [
          { minute: 0, temperatureC: 250 },
          { minute: 5, temperatureC: 250 },
        ],
      }),
    ).toMatchObject({
      errors: [{ code: 'trace-out-of-range', message: expect.stringContaining('Fahrenheit') }],
    });
  });

  it('answers "not enough data" for nothing at all', () => {
    for (const [name, input] of [
      ['wilson-interval', { hits: 0, n: 0 }],
      ['kaplan-meier', { watched: [] }],
      ['weibull-fit', { times: [] }],
      ['interval-censored-npmle', { times: [] }],
      ['laney-p-chart', { points: [] }],
      ['contamination-hazard', { jars: [] }],
      ['attribution', { lots: [] }],
      ['demand-forecast', { historyG: [] }],
      ['spawn-rate-effect', { runs: [] }],
      ['cardinal-fit', { points: [] }],
    ] as const)
      expect([name, evaluate(name, input)]).toMatchObject([
        name,
        { kind: 'answer', output: { kind: 'not enough data' } },
      ]);
  });

  it('never throws and never answers NaN, whatever is thrown at it', () => {
    const wild = fc.oneof(
      fc.jsonValue(),
      fc.constantFrom(null, [], {}, 'x', -1, 1e308, { trace: null }, { jars: [] }, { n: 1e15, hits: 0 }),
    );
    for (const name of calculations.keys())
      fc.assert(
        fc.property(wild, (input) => {
          const answer = evaluate(name, input);
          expect(['answer', 'refused']).toContain(answer.kind);
          expect(JSON.stringify(answer)).not.toContain('NaN');
        }),
        { numRuns: 25, seed: 1 },
      );
  });

  it('stays whole when the numbers of a good example are shaken', () => {
    for (const { name, example } of calculationList())
      fc.assert(
        fc.property(
          fc.array(fc.constantFrom(0, -1, 0.5, 2, 1e-9, 1e9, 3), { minLength: 40, maxLength: 40 }),
          fc.nat(39),
          (factors, which) => {
            const input = shaken(example, factors, which);
            expect(outcome(name, input)).toMatch(/^(answer|refused)$/);
          },
        ),
        { numRuns: Number(process.env.JARFOLD_SHAKES ?? 12), seed: Number(process.env.JARFOLD_SEED ?? 1) },
      );
  });
});

/** What an evaluation ends in, with the calculation and the error when it throws. */
function outcome(name: string, input: unknown): string {
  try {
    return evaluate(name, input).kind;
  } catch (error) {
    return `${name} threw ${error} on ${JSON.stringify(input).slice(0, 400)}`;
  }
}

/** The example with one number in a few multiplied. */
function shaken(value: unknown, factors: readonly number[], which: number): unknown {
  let seen = 0;
  const walk = (part: unknown): unknown => {
    if (typeof part === 'number') {
      const factor = seen % 40 === which ? factors[which]! : 1;
      seen++;
      return part * factor;
    }
    if (Array.isArray(part)) return part.map(walk);
    if (part !== null && typeof part === 'object')
      return Object.fromEntries(Object.entries(part).map(([key, inner]) => [key, walk(inner)]));
    return part;
  };
  return walk(value);
}

/** Equal but for the last of six figures. */
function nearly(one: unknown, other: unknown): boolean {
  if (typeof one === 'number' && typeof other === 'number')
    return Math.abs(one - other) <= 2e-5 * Math.max(1e-9, Math.abs(one), Math.abs(other));
  if (Array.isArray(one) && Array.isArray(other))
    return one.length === other.length && one.every((each, i) => nearly(each, other[i]));
  if (one !== null && other !== null && typeof one === 'object' && typeof other === 'object') {
    const keys = Object.keys(one);
    return (
      keys.length === Object.keys(other).length && keys.every((key) => nearly(one[key as never], other[key as never]))
    );
  }
  return one === other;
}
