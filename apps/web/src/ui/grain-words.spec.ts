import type { GrainStockItem } from '@jarfold/contracts';
import { calendarDay } from '@jarfold/domain';
import { beforeAll, describe, expect, it } from '@jest/globals';
import { onHandBox } from '../features/preparation/preparation-form.js';
import { en } from '../messages/en.js';
import { speak } from '../messages/translate.js';
import { accountWords, needWords, onHandWords, reachWords } from './grain-words.js';

beforeAll(() => speak(en));

const outlook = {
  ...{ thisWeekG: 6_000, fourWeeksG: 18_000, missingG: 6_000 },
  runsOutOn: calendarDay('2026-12-15'),
  buyBy: calendarDay('2026-12-14'),
};
const known: GrainStockItem = {
  grain: { key: 'rye', name: 'rye' },
  ...{ state: 'known', onHandG: 12_000, outlook },
  account: { countedAt: '2026-12-01T08:00:00.000Z', countedG: 20_000, boughtG: 0, soakedG: 8_000, unweighed: 2 },
};

describe('the words of grain in stock', () => {
  it('say what is there, how that is known and when to buy', () => {
    expect(onHandWords(known)).toBe('rye: 12\u00a0kg on hand');
    expect(accountWords(known)).toContain('soaked 8\u00a0kg since');
    expect(accountWords(known)).toContain('2 batches without a weight');
    expect(needWords(known)).toContain('18\u00a0kg for four weeks');
    expect(reachWords(known)).toMatch(/15 Dec.*: buy by .*14 Dec.*6\skg more/);
  });

  it('say that it is enough, and whether only for the four weeks', () => {
    const all = { ...outlook, missingG: 0, runsOutOn: null, buyBy: null };
    expect(reachWords({ ...known, outlook: all })).toBe('It is enough for all the plan prepares.');
    expect(reachWords({ ...known, outlook: { ...outlook, missingG: 0 } })).toMatch(/four weeks, but not for/);
  });

  it('never say a mass nobody knows: neither of a count out of date nor before one', () => {
    const outOfDate: GrainStockItem = { ...known, state: 'out-of-date', onHandG: null };
    expect(onHandWords(outOfDate)).toMatch(/out of date/);
    expect(reachWords(outOfDate)).toBeNull();
    const never: GrainStockItem = { ...known, state: 'not-counted', onHandG: null, account: null, outlook: null };
    expect([onHandWords(never), accountWords(never), needWords(never)]).toEqual(['rye: not counted yet', null, null]);
  });
});

describe('the calculator’s box of grain on hand', () => {
  it('is filled from the stock of the chosen grain, and left empty when that is not known', () => {
    expect(onHandBox([known], 'rye')).toBe('12');
    expect(onHandBox([known], 'wheat')).toBe('');
    expect(onHandBox([{ ...known, onHandG: null }], 'rye')).toBe('');
  });
});
