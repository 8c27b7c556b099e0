import { calendarDay } from '@jarfold/domain';
import { describe, expect, it } from '@jest/globals';
import fc from 'fast-check';
import type { CellContent, WorkbookCells } from './cell.js';
import { packCells, unpackCells } from './packed-cells.js';

const content: fc.Arbitrary<CellContent> = fc.oneof(
  fc.record({ kind: fc.constant('text' as const), text: fc.string() }),
  fc.record({
    kind: fc.constant('number' as const),
    number: fc.double({ noNaN: true, noDefaultInfinity: true }).map((number) => number + 0),
    percent: fc.boolean(),
  }),
  fc.record({ kind: fc.constant('boolean' as const), value: fc.boolean() }),
  fc.record({ kind: fc.constant('error' as const), code: fc.constantFrom('#REF!', '#DIV/0!') }),
  fc.constantFrom<CellContent>(
    { kind: 'uncomputed' },
    { kind: 'day', day: calendarDay('2026-11-25'), shown: '2026-11-25' },
    { kind: 'day', day: calendarDay('2026-11-25'), shown: '2026-11-25T00:00:00' },
    { kind: 'day', day: null, shown: '60' },
  ),
);

const workbooks: fc.Arbitrary<WorkbookCells> = fc
  .array(fc.array(fc.tuple(content, fc.boolean()), { minLength: 1, maxLength: 5 }), { maxLength: 5 })
  .map((rows) => ({
    sheets: [
      {
        name: 'One',
        hidden: false,
        merged: [{ top: 1, left: 1, bottom: 2, right: 1 }],
        rows: rows.map((cells, at) => ({
          row: at + 1,
          cells: cells.map(([each, formula], column) => ({ row: at + 1, column: column + 1, formula, content: each })),
        })),
      },
    ],
  }));

describe('packed cells', () => {
  it('unpack to the same cells after a journey as JSON', () => {
    fc.assert(
      fc.property(workbooks, (cells) => {
        expect(unpackCells(JSON.parse(JSON.stringify(packCells(cells))))).toEqual(cells);
      }),
    );
  });
});
