import { describe, expect, it } from '@jest/globals';
import { readCommandLine } from './command-line.js';
import { UsageError } from './parse-options.js';

describe('readCommandLine', () => {
  it('reads what to plan, for which day, and where to', () => {
    expect(readCommandLine(['farm.xlsx', '--as-of', '2026-11-25', '--json', '--out=plan.xlsx'])).toEqual({
      kind: 'plan',
      file: 'farm.xlsx',
      asOf: '2026-11-25',
      json: true,
      out: 'plan.xlsx',
      assurance: null,
      thorough: false,
    });
    expect(readCommandLine(['farm.xlsx'])).toMatchObject({ asOf: null, json: false, out: null, assurance: null });
    expect(readCommandLine(['farm.xlsx', '--thorough'])).toMatchObject({ thorough: true });
    expect(readCommandLine(['farm.xlsx', '--assurance', '95'])).toMatchObject({ assurance: 0.95 });
  });

  it('reads which example to write, and for which day', () => {
    expect(readCommandLine(['--example', 'a.xlsx'])).toEqual({
      kind: 'example',
      which: 'farm',
      file: 'a.xlsx',
      asOf: null,
    });
    expect(readCommandLine(['--example-small', 'a.xlsx', '--as-of', '2026-11-25'])).toMatchObject({
      which: 'kitchen',
      asOf: '2026-11-25',
    });
  });

  it('gives help before anything else', () => {
    expect(readCommandLine(['-h', 'a.xlsx'])).toEqual({ kind: 'help' });
    expect(readCommandLine(['--help'])).toEqual({ kind: 'help' });
  });

  it('takes a file whose name begins with a dash after --', () => {
    expect(readCommandLine(['--', '-farm.xlsx'])).toMatchObject({ kind: 'plan', file: '-farm.xlsx' });
  });

  const wrong: readonly [args: readonly string[], sentence: string][] = [
    [[], 'Name the workbook to plan, such as farm.xlsx.'],
    [[''], 'Name the workbook to plan, such as farm.xlsx.'],
    [['a.xlsx', '--assurance', '100'], '--assurance: "100" is not a percentage from 0 to below 100.'],
    [['a.xlsx', '--assurance', 'high'], '--assurance: "high" is not a percentage from 0 to below 100.'],
    [['--jsn', 'a.xlsx'], 'There is no option --jsn. Did you mean --json?'],
    [['--asof=2026-11-25', 'a.xlsx'], 'There is no option --asof. Did you mean --as-of?'],
    [['-x', 'a.xlsx'], 'There is no option -x.'],
    [['a.xlsx', 'b.xlsx'], 'Name one workbook only; "b.xlsx" is a second one.'],
    [['a.xlsx', '--as-of', '2026-02-30'], '--as-of: "2026-02-30" is not a day that exists, written YYYY-MM-DD.'],
    [['a.xlsx', '--as-of', '25.11.2026'], '--as-of: "25.11.2026" is not a day that exists, written YYYY-MM-DD.'],
    [['a.xlsx', '--out='], '--out needs the name of a file.'],
    [['--example='], '--example needs the name of a file.'],
    [['--example', 'a.xlsx', '--example-small', 'b.xlsx'], 'Ask for --example or --example-small, not for both.'],
    [['--example', 'a.xlsx', '--thorough'], 'An example is only written; "--thorough" has no meaning beside it.'],
    [['--example', 'a.xlsx', '--json'], 'An example is only written; "--json" has no meaning beside it.'],
    [['--example', 'a.xlsx', 'b.xlsx'], 'An example is only written; "b.xlsx" has no meaning beside it.'],
  ];

  it.each(wrong)('%j is told: %s', (args, sentence) => {
    expect(() => readCommandLine(args)).toThrow(new UsageError(sentence));
  });

  it('tells which option lacks its value', () => {
    expect(() => readCommandLine(['a.xlsx', '--out'])).toThrow("Option '--out <value>' argument missing.");
  });
});
