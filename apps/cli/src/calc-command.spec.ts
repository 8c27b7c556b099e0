import { calculations } from '@jarfold/contracts/calculations';
import { describe, expect, it } from '@jest/globals';
import { calcEvaluate, calcExample, calcList, readCalcCommand } from './calc-command.js';
import { schemaInWords } from './schema-in-words.js';

describe('the calculator’s command line', () => {
  it('lists every calculation with what goes in and out and its source', () => {
    const { output, exitCode } = calcList(false);
    expect(exitCode).toBe(0);
    for (const [name, { source }] of calculations) {
      expect(output).toContain(`${name}\n`);
      expect(output).toContain(source);
    }
    expect(output).toContain('in:     { hits: integer, n: integer, level?: number = 0.95 }');
    expect(JSON.parse(calcList(true).output)).toHaveLength(calculations.size);
  });

  it('evaluates JSON, with or without a byte order mark', () => {
    const { output, exitCode } = calcEvaluate('boiling-point-at-altitude', '﻿{"altitudeM": 2000}');
    expect(exitCode).toBe(0);
    expect(JSON.parse(output).temperatureC).toBeCloseTo(93.31, 1);
  });

  it('refuses a bad input with exit code 2, in JSON for programs and in words for people', () => {
    const { exitCode, output, errors } = calcEvaluate('wilson-interval', '{"hits": -1}');
    expect(exitCode).toBe(2);
    expect(JSON.parse(output).errors.map(({ pointer }: { pointer: string }) => pointer)).toEqual(['/hits', '/n']);
    expect(errors).toContain('Not computed (wilson-interval):\n  /hits: ');
  });

  it('says what to do when the input is no JSON or the name is none of them', () => {
    expect(calcEvaluate('croston', 'values: 1').errors).toContain('Try: npm run -s calc -- croston --example');
    expect(calcEvaluate('kaplan', '').errors).toContain('Did you mean kaplan-meier?');
    expect(calcExample('nothing-such')).toMatchObject({ exitCode: 2 });
  });

  it('gives for every calculation an example that it then evaluates', () => {
    for (const name of calculations.keys())
      expect(calcEvaluate(name, calcExample(name).output)).toMatchObject({ exitCode: 0, errors: '' });
  });

  it('reads its arguments, and refuses what it does not know', () => {
    expect(readCalcCommand(['--list'])).toEqual({ kind: 'list', json: false });
    expect(readCalcCommand(['--list', '--json'])).toEqual({ kind: 'list', json: true });
    expect(readCalcCommand(['holt'])).toEqual({ kind: 'evaluate', name: 'holt' });
    expect(readCalcCommand(['holt', '--example'])).toEqual({ kind: 'example', name: 'holt' });
    expect(readCalcCommand(['-h'])).toEqual({ kind: 'help' });
    for (const args of [[], ['a', 'b'], ['--lits']]) expect(readCalcCommand(args).kind).toBe('unclear');
  });

  it('tells a schema on one line', () => {
    expect(
      schemaInWords({
        type: 'object',
        properties: { a: { anyOf: [{ type: 'number' }, { type: 'null' }] } },
        required: ['a'],
      }),
    ).toBe('{ a: number | null }');
    expect(schemaInWords({ type: 'array', items: { enum: ['x', 'y'] } })).toBe('["x" | "y", …]');
    expect(schemaInWords({ type: 'object', additionalProperties: { type: 'string' } })).toBe('{ name: string, … }');
    expect(schemaInWords({})).toBe('anything');
  });
});
