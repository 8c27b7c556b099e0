import { describe, expect, it } from '@jest/globals';
import { readSeasonCommand, seasonHelp } from './season-command.js';

describe('the season command', () => {
  it('lives the first season of the whole family as Jarfold would, unless told otherwise', () => {
    expect(readSeasonCommand([])).toEqual({
      ...{ file: null, names: [], policy: 'jarfold', seeds: [1], weeks: 52, json: false },
    });
  });

  it('takes a workbook, several seasons and a rule of thumb', () => {
    const asked = ['--farm', 'farm.xlsx', '--seeds', '3..5', '--policy', 'order-up-to', '--weeks', '8', '--json'];
    expect(readSeasonCommand(asked)).toEqual({
      ...{ file: 'farm.xlsx', names: [], policy: 'order-up-to', seeds: [3, 4, 5], weeks: 8, json: true },
    });
  });

  it('tells how it is used, with every option it has', () => {
    expect(readSeasonCommand(['--help'])).toBe('help');
    for (const option of ['--farm', '--family', '--seeds', '--policy', '--weeks', '--json'])
      expect(seasonHelp).toContain(option);
  });

  it.each<[args: string[], sentence: string]>([
    [['--polcy', 'x'], 'There is no option --polcy. Did you mean --policy?'],
    [['farm.xlsx'], '"farm.xlsx" has no meaning here.'],
    [['--policy', 'hope'], '--policy: "hope" is none of'],
    [['--seeds', '1001'], 'rules of thumb are tuned on season 1001'],
    [['--weeks', '0'], '--weeks: "0" is not a whole number from 1 to 520.'],
    [['--farm', 'a.xlsx', '--family', 'small-tight'], 'not both'],
  ])('refuses %j in one sentence', (args, sentence) => {
    expect(() => readSeasonCommand(args)).toThrow(sentence);
  });
});
