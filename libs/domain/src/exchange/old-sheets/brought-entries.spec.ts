import { describe, expect, it } from '@jest/globals';
import { calendarDay } from '../../calendar/calendar-day.js';
import { type BroughtIds, broughtEntries } from './brought-entries.js';
import { findTables } from './find-tables.js';
import { guessMapping, withPlainWords } from './guess-mapping.js';
import { settleFile } from './settle-file.js';
import { sheetOf, someFarm } from './sheet.test-support.js';
import { understandFile } from './understand-file.js';

const ids: BroughtIds = {
  of: (meaning) => ('id' in meaning ? meaning.id : meaning.to),
  formOf: () => ({ container: 'bag', carrier: 'sawdust' }),
  make: (...parts) => parts.join('-'),
};
const nothing = {
  jarCodes: new Set<string>(),
  lotCodes: new Set<string>(),
  runs: new Set<string>(),
  marks: new Set<string>(),
};
const day = (text: string) => ({ day: text });

function entriesOf(rows: Parameters<typeof sheetOf>[0]) {
  const tables = findTables({ sheets: [sheetOf(rows)] });
  const file = understandFile(tables, withPlainWords(tables, guessMapping(tables), someFarm), someFarm);
  expect([file.questions, file.refused]).toEqual([[], []]);
  return broughtEntries(
    settleFile(file, nothing, (text) => text),
    ids,
    someFarm.today,
  );
}

const HEADINGS = ['Lot', 'Jars', 'Strain', 'Gen', 'Size', 'State', 'Made on', 'Used on', 'Used for run', 'Remarks'];
const lot = (code: string, state: string, used: string | null, run: string | null = null, note: string | null = null) =>
  [code, 2, 'BO1', 1, 'Litre jar', state, day('2026-10-01'), used === null ? null : day(used), run, note] as Parameters<
    typeof sheetOf
  >[0][number];

describe('the entries of an old spreadsheet', () => {
  it('tell of each lot on the day it was made, and of its jars on the days that followed', () => {
    const entries = entriesOf([
      HEADINGS,
      lot('L1', 'ripe', null, null, 'dry grain'),
      lot('L2', 'mouldy', '2026-10-20'),
      lot('L3', 'used up', '2026-10-25'),
      lot('L4', 'too old', '2026-11-01'),
    ]);
    expect(entries.map(({ kind, day: on }) => `${on} ${kind}`)).toEqual([
      ...Array.from({ length: 4 }, () => '2026-10-01 received'),
      '2026-10-20 contamination_found',
      '2026-10-20 discarded',
      '2026-10-25 emptied',
      '2026-11-01 discarded',
      '2026-11-25 noted',
    ]);
    expect(entries[0]?.payload).toMatchObject({
      code: 'L1',
      container: 'bag',
      carrier: 'sawdust',
      madeOn: '2026-10-01',
    });
    expect(entries[5]?.payload).toEqual({ jarIds: ['jar-1-0', 'jar-1-1'], reason: 'contaminated' });
    expect(entries[7]?.payload).toMatchObject({ reason: 'aged_out' });
    expect(entries[8]?.payload).toEqual({ text: 'dry grain', jarIds: ['jar-0-0', 'jar-0-1'] });
    expect(new Set(entries.map(({ id }) => id)).size).toBe(entries.length);
  });

  it('draw all the spawn of jars that went into a run, instead of emptying them', () => {
    const entries = entriesOf([
      HEADINGS,
      lot('L1', 'used up', '2026-10-25', 'Straw 12'),
      lot('L2', 'used up', '2026-10-25'),
    ]);
    const drawn = entries.filter(({ kind }) => kind === 'drawn_for_run');
    expect(drawn.map(({ payload }) => payload)).toEqual([
      {
        runId: 'run-1',
        draws: [
          { jarId: 'jar-0-0', amount: { by: 'all' } },
          { jarId: 'jar-0-1', amount: { by: 'all' } },
        ],
      },
    ]);
    expect(entries.filter(({ kind }) => kind === 'emptied').map(({ payload }) => payload)).toEqual([
      { jarIds: ['jar-1-0', 'jar-1-1'] },
    ]);
  });

  it('gather many jars into entries of at most 500', () => {
    const many = Array.from(
      { length: 600 },
      (_, at) =>
        [`L${at}`, 1, 'BO1', 1, 'Litre jar', 'broken', day('2026-10-01'), day('2026-10-05'), null, null] as Parameters<
          typeof sheetOf
        >[0][number],
    );
    const broken = entriesOf([HEADINGS, ...many]).filter(({ kind }) => kind === 'broken');
    expect(broken.map(({ payload }) => (payload as { jarIds: string[] }).jarIds.length)).toEqual([500, 100]);
    expect(broken.every(({ day: on }) => on === calendarDay('2026-10-05'))).toBe(true);
  });
});
