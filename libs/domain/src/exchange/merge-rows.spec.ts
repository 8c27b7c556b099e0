import { describe, expect, it } from '@jest/globals';
import fc from 'fast-check';
import { appliedMerge, decideMerge, type MergeChoices, mergeRows, type TheirRow } from './merge-rows.js';
import type { CellValues } from './run-cells.js';

const COLUMNS = ['name', 'kg', 'day', 'note'] as const;
const value = fc.oneof(fc.constantFrom('a', 'b', '2026-11-25', null), fc.integer({ min: 0, max: 3 }));
const row = fc.record(Object.fromEntries(COLUMNS.map((column) => [column, value])) as Record<string, typeof value>);
const table = fc
  .dictionary(fc.constantFrom('k1', 'k2', 'k3', 'k4', 'k5'), row, { noNullPrototype: true })
  .map((rows) => new Map<string, CellValues>(Object.entries(rows)));
const seedChoice = fc.constantFrom('ours' as const, 'theirs' as const);
const choices: fc.Arbitrary<MergeChoices> = fc.record({
  cells: fc.dictionary(fc.constantFrom(...COLUMNS.map((column) => `*/${column}`)), seedChoice),
  rows: fc.dictionary(fc.constantFrom('k1', 'k2', 'k3'), seedChoice),
});

/** A returned file: a base with cells edited, rows marked, rows added, rows left out. */
const edits = fc.record({
  changes: fc.array(fc.tuple(fc.nat(4), fc.constantFrom(...COLUMNS), value), { maxLength: 6 }),
  deletes: fc.array(fc.nat(4), { maxLength: 2 }),
  leftOut: fc.array(fc.nat(4), { maxLength: 2 }),
  added: fc.array(row, { maxLength: 2 }),
});
type Edits = typeof edits extends fc.Arbitrary<infer T> ? T : never;

const asFile = (rows: ReadonlyMap<string, CellValues>): TheirRow[] =>
  [...rows].map(([key, values], at) => ({ key, values, deleted: false, place: `row ${at}` }));

function returned(base: ReadonlyMap<string, CellValues>, { changes, deletes, leftOut, added }: Edits): TheirRow[] {
  const rows = asFile(base).map((each) => ({ ...each, values: { ...each.values } as Record<string, never> }));
  for (const [at, column, to] of changes) if (rows[at]) (rows[at].values as Record<string, unknown>)[column] = to;
  const file: TheirRow[] = rows.map((each, at) => ({ ...each, deleted: deletes.includes(at) }));
  const kept = file.filter((_, at) => !leftOut.includes(at));
  return [...kept, ...added.map((values, at) => ({ key: null, values, deleted: false, place: `new ${at}` }))];
}

const merged = (
  base: ReadonlyMap<string, CellValues>,
  ours: ReadonlyMap<string, CellValues>,
  theirs: readonly TheirRow[],
  chosen: MergeChoices = {},
) => appliedMerge(ours, decideMerge(mergeRows({ base, ours, theirs }), chosen), ({ place }) => place);

describe('the merge of rows', () => {
  it('of a file nobody changed gives what is here: merge(p, l, p) = l', () => {
    fc.assert(
      fc.property(table, table, choices, (base, ours, chosen) => {
        const result = mergeRows({ base, ours, theirs: asFile(base) });
        expect(result.changes.length + result.conflicts.length + result.added.length + result.deletes.length).toBe(0);
        expect(merged(base, ours, asFile(base), chosen)).toEqual(ours);
      }),
    );
  });

  it('over a farm nobody changed gives what the file says: merge(p, p, r) = r', () => {
    fc.assert(
      fc.property(table, edits, (base, made) => {
        const theirs = returned(base, { ...made, leftOut: [] });
        const said = new Map(
          theirs.filter(({ deleted }) => !deleted).map(({ key, place, values }) => [key ?? place, values]),
        );
        expect(mergeRows({ base, ours: base, theirs }).conflicts).toEqual([]);
        expect(merged(base, base, theirs)).toEqual(said);
      }),
    );
  });

  it('lets equal edits agree', () => {
    fc.assert(
      fc.property(table, edits, (base, made) => {
        const theirs = returned(base, { ...made, leftOut: [], added: [] });
        const ours = new Map(theirs.filter(({ deleted }) => !deleted).map(({ key, values }) => [key ?? '', values]));
        const result = mergeRows({ base, ours, theirs });
        expect([result.changes, result.conflicts, result.deleteConflicts, result.deletes]).toEqual([[], [], [], []]);
      }),
    );
  });

  it('done again with what the file said as the base changes nothing, whatever was chosen', () => {
    fc.assert(
      fc.property(table, table, edits, choices, (base, ours, made, chosen) => {
        const theirs = returned(base, { ...made, added: [] });
        const once = merged(base, ours, theirs, chosen);
        const said = new Map(
          theirs.flatMap(({ key, values }) => (key === null ? [] : [[key, { ...base.get(key), ...values }] as const])),
        );
        const still = theirs.map((each) => ({ ...each, deleted: false }));
        expect(merged(said, once, still)).toEqual(once);
      }),
    );
  });

  it('does not care in which order rows and columns stand, nor which columns the file lacks', () => {
    const shuffled = fc.tuple(table, table, edits, fc.integer(), fc.subarray([...COLUMNS]));
    fc.assert(
      fc.property(shuffled, ([base, ours, made, seed, left]) => {
        const theirs = returned(base, made).map((each) => ({
          ...each,
          values: Object.fromEntries(Object.entries(each.values).filter(([column]) => left.includes(column as 'kg'))),
        }));
        const other = theirs
          .map((each, at) => [Math.imul(seed, at + 7) >>> 0, each] as const)
          .sort(([a], [b]) => a - b)
          .map(([, each]) => ({ ...each, values: Object.fromEntries(Object.entries(each.values).reverse()) }));
        expect(merged(base, ours, other)).toEqual(merged(base, ours, theirs));
        const given = merged(base, ours, theirs);
        for (const [key, now] of ours) {
          for (const column of COLUMNS) {
            if (given.has(key) && !left.includes(column)) expect(given.get(key)?.[column]).toEqual(now[column]);
          }
        }
      }),
    );
  });

  it('keeps a row the file no longer has, and says so', () => {
    const base = new Map<string, CellValues>([
      ['k1', { kg: 1 }],
      ['k2', { kg: 2 }],
    ]);
    const theirs = [{ key: 'k1', values: { kg: 1 }, deleted: false, place: 'row 2' }];
    expect(mergeRows({ base, ours: base, theirs }).missing).toEqual(['k2']);
    expect(merged(base, base, theirs)).toEqual(base);
  });

  it('keeps all three values of a conflict', () => {
    const base = new Map<string, CellValues>([['k1', { kg: 1 }]]);
    const ours = new Map<string, CellValues>([['k1', { kg: 2 }]]);
    const theirs = [{ key: 'k1', values: { kg: 3 }, deleted: false, place: 'B2' }];
    const result = mergeRows({ base, ours, theirs });
    expect(result.conflicts).toEqual([{ key: 'k1', column: 'kg', base: 1, ours: 2, theirs: 3, place: 'B2' }]);
    expect(merged(base, ours, theirs).get('k1')).toEqual({ kg: 2 });
    expect(merged(base, ours, theirs, { cells: { 'k1/kg': 'theirs' } }).get('k1')).toEqual({ kg: 3 });
  });

  it('makes a conflict of an edit that meets a delete, on either side', () => {
    const base = new Map<string, CellValues>([['k1', { kg: 1 }]]);
    const edited = new Map<string, CellValues>([['k1', { kg: 2 }]]);
    const marked = [{ key: 'k1', values: { kg: 1 }, deleted: true, place: 'B2' }];
    const ours = mergeRows({ base, ours: edited, theirs: marked });
    expect(ours.deleteConflicts).toEqual([{ key: 'k1', kind: 'deleted-in-file', columns: ['kg'], place: 'B2' }]);
    expect(merged(base, edited, marked)).toEqual(edited);
    expect(merged(base, edited, marked, { rows: { k1: 'theirs' } })).toEqual(new Map());
    const changed = [{ key: 'k1', values: { kg: 3 }, deleted: false, place: 'B2' }];
    expect(mergeRows({ base, ours: new Map(), theirs: changed }).deleteConflicts[0]).toMatchObject({
      kind: 'gone-here',
    });
  });

  it('explains a copied row, takes the untouched one for the original, and adds the copy only when asked', () => {
    const base = new Map<string, CellValues>([['k1', { kg: 1 }]]);
    const original = { key: 'k1', values: { kg: 1 }, deleted: false, place: 'B2' };
    const copy = { key: 'k1', values: { kg: 9 }, deleted: false, place: 'B3' };
    for (const theirs of [
      [original, copy],
      [copy, original],
    ]) {
      const result = mergeRows({ base, ours: base, theirs });
      expect(result.copies).toEqual([{ row: copy, key: 'k1', firstPlace: 'B2', same: false }]);
      expect(merged(base, base, theirs)).toEqual(base);
      expect(merged(base, base, theirs, { copies: { B3: 'add' } }).get('B3')).toEqual({ kg: 9 });
    }
  });

  it('takes a row with a key that was never given out for a stranger', () => {
    const theirs = [{ key: 'x', values: { kg: 1 }, deleted: false, place: 'B2' }];
    expect(mergeRows({ base: new Map(), ours: new Map([['x', { kg: 5 }]]), theirs }).strangers).toEqual(theirs);
  });
});
