import type { WeeklyBook } from '@jarfold/domain';
import { describe, expect, it } from '@jest/globals';
import { contaminationSheetDraft } from './book-sheets.js';

const rate = (what: string, made: number, settled: number, contaminated: number) => ({
  ...{ by: 'week' as const, what, made, settled, contaminated },
  ...{ low: settled > 0 ? 0.1 : null, high: settled > 0 ? 0.9 : null },
});

describe('the contamination sheet', () => {
  it('gives a week no rate before half of its jars are known: bad jars show first', () => {
    const contamination = [rate('2026-W45', 80, 40, 4), rate('2026-W47', 66, 7, 5), rate('2026-W48', 87, 0, 0)];
    const rows = [...contaminationSheetDraft({ contamination } as unknown as WeeklyBook).rows];
    expect(rows.map((row) => row.slice(5))).toEqual([
      [0.1, 0.1, 0.9],
      ['', '', ''],
      ['', '', ''],
    ]);
  });
});
