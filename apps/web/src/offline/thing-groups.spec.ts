import { describe, expect, it } from '@jest/globals';
import fc from 'fast-check';
import { groupsTouched, regrouped, thingsIn } from './thing-groups.js';
import { type AnyThing, keyOf, type ThingKeyed } from './thing-shelf.js';

/** Fields as things have them: words and numbers that come again, null, lists, a place; some are not there. */
const fields = fc.record(
  {
    strainId: fc.constantFrom('a', 'b', null),
    leftG: fc.constantFrom(0, 0.1, 650),
    blank: fc.boolean(),
    place: fc.option(
      fc.record(
        { shelfId: fc.constantFrom('s', 't'), row: fc.nat(2) },
        { requiredKeys: ['shelfId'], noNullPrototype: true },
      ),
    ),
    filled: fc.array(fc.nat(2), { maxLength: 2 }),
    note: fc.string({ unit: 'grapheme', maxLength: 4 }),
  },
  { requiredKeys: ['strainId'], noNullPrototype: true },
);
const thing = fc
  .record({ kind: fc.constantFrom('jar', 'lot', 'cycle'), id: fc.uuid(), fields })
  .map(({ kind, id, fields: others }) => ({ kind, state: { id, ...others } }) as unknown as AnyThing);
const keyed = ({ kind, state }: AnyThing): ThingKeyed => ({ kind, id: state.id });

/** A store of groups, changed as the tablet's is: the touched groups are read, then written. */
class GroupStore {
  readonly texts = new Map<string, string>();

  change(put: readonly AnyThing[], drop: readonly ThingKeyed[]): void {
    const touched = groupsTouched(put, drop).flatMap((name) => {
      const text = this.texts.get(name);
      return text === undefined ? [] : [[name, text] as const];
    });
    const after = regrouped(new Map(touched), put, drop);
    for (const [name, text] of after.put) this.texts.set(name, text);
    for (const name of after.drop) this.texts.delete(name);
  }

  all(): readonly AnyThing[] {
    return [...this.texts.values()].flatMap(thingsIn);
  }
}

describe('things in groups', () => {
  it('hold after any changes what a map of single things holds', () => {
    const changes = fc.array(fc.record({ put: fc.array(thing), dropped: fc.array(fc.nat(30)) }), { maxLength: 6 });
    fc.assert(
      fc.property(changes, (all) => {
        const store = new GroupStore();
        const single = new Map<string, AnyThing>();
        for (const { put, dropped } of all) {
          const there = [...single.values()];
          const drop = dropped.flatMap((at) => there[at] ?? []).map(keyed);
          store.change(put, drop);
          for (const one of put) single.set(keyOf(keyed(one)), one);
          for (const one of drop) single.delete(keyOf(one));
        }
        const byKey = (things: Iterable<AnyThing>) => new Map([...things].map((one) => [keyOf(keyed(one)), one]));
        expect(byKey(store.all())).toStrictEqual(byKey(single.values()));
        expect(store.all()).toHaveLength(single.size);
      }),
    );
  });

  it('touch one group for one thing, and leave none behind for the last one of it', () => {
    const store = new GroupStore();
    const jar = { kind: 'jar', state: { id: 'ab12', code: 'OY3-26W48-01/01' } } as unknown as AnyThing;
    const other = { kind: 'jar', state: { id: 'cd34', code: 'OY3-26W48-01/02' } } as unknown as AnyThing;
    store.change([jar, other], []);
    expect(groupsTouched([jar], [])).toEqual(['ab']);
    expect([...store.texts.keys()]).toEqual(['ab', 'cd']);
    store.change([], [keyed(jar)]);
    expect([...store.texts.keys()]).toEqual(['cd']);
    expect(store.all()).toEqual([other]);
  });

  it('say once what is the same in all, and what comes again', () => {
    const jars = ['ab1', 'ab2', 'ab3'].map(
      (id) =>
        ({ kind: 'jar', state: { id, sizeId: 'size', lotId: id === 'ab3' ? 'other' : 'lot' } }) as unknown as AnyThing,
    );
    const text = regrouped(new Map(), jars, []).put.get('ab') ?? '';
    expect(text.match(/"size"|"lot"/g)).toEqual(['"size"', '"lot"']);
    expect(thingsIn(text)).toEqual(jars);
  });
});
