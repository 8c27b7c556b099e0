import { type AnyThing, keyOf, type ThingKeyed } from './thing-shelf.js';

/**
 * How the farm's things lie in the tablet's store: some dozens in one text, by the beginning of their id, each kind as a
 * table whose repeated values stand there once. A tablet that starts reads all of them, and what that takes goes by their
 * bytes: ten thousand jars one by one are 9 MB, so 2.5.
 */
export interface GroupChange {
  /** Groups with their new text. */
  readonly put: ReadonlyMap<string, string>;
  /** Groups of which nothing is left. */
  readonly drop: readonly string[];
}

/** Things of one kind. */
interface Table {
  readonly kind: string;
  /** Fields that are the same in all of them. */
  readonly same: Readonly<Record<string, unknown>>;
  /** The other fields. */
  readonly fields: readonly string[];
  /** Each value that one of these has. */
  readonly values: readonly unknown[];
  /** A thing's fields as positions in `values`, `ABSENT` where it has no such field. */
  readonly rows: readonly (readonly number[])[];
}

type State = Readonly<Record<string, unknown>>;
const ABSENT = -1;

/** Random ids fill 256 groups evenly: of ten thousand things, a change of one writes forty anew. */
const groupOf = (id: string): string => id.slice(0, 2);

/** The groups that a change touches, and so must be read before it. */
export function groupsTouched(put: readonly AnyThing[], drop: readonly ThingKeyed[]): readonly string[] {
  return [...new Set([...put.map(({ state }) => groupOf(state.id)), ...drop.map(({ id }) => groupOf(id))])];
}

/**
 * The touched groups after a change.
 * @param stored the text of each touched group that there is
 */
export function regrouped(
  stored: ReadonlyMap<string, string>,
  put: readonly AnyThing[],
  drop: readonly ThingKeyed[],
): GroupChange {
  const groups = new Map<string, Map<string, AnyThing>>();
  const group = (id: string): Map<string, AnyThing> => {
    const name = groupOf(id);
    let things = groups.get(name);
    if (!things) {
      things = new Map(thingsIn(stored.get(name) ?? '[]').map((thing) => [keyIn(thing), thing]));
      groups.set(name, things);
    }
    return things;
  };
  for (const thing of put) group(thing.state.id).set(keyIn(thing), thing);
  for (const thing of drop) group(thing.id).delete(keyOf(thing));
  const all = [...groups];
  return {
    put: new Map(all.filter(([, { size }]) => size > 0).map(([name, things]) => [name, textOf([...things.values()])])),
    drop: all.filter(([, { size }]) => size === 0).map(([name]) => name),
  };
}

/** What a group's text holds. */
export function thingsIn(text: string): readonly AnyThing[] {
  return (JSON.parse(text) as readonly Table[]).flatMap(thingsOf);
}

const keyIn = ({ kind, state }: AnyThing): string => keyOf({ kind, id: state.id });

function textOf(things: readonly AnyThing[]): string {
  const kinds = [...new Set(things.map(({ kind }) => kind))];
  const statesOf = (wanted: string) => things.flatMap(({ kind, state }) => (kind === wanted ? [state] : []));
  return JSON.stringify(kinds.map((kind) => tableOf(kind, statesOf(kind) as unknown as readonly State[])));
}

function tableOf(kind: string, states: readonly State[]): Table {
  const names = [...new Set(states.flatMap((state) => Object.keys(state)))];
  const all = new ValueList();
  const columns = names.map((name) => ({ name, places: states.map((state) => all.place(state[name])) }));
  const varying = columns.filter(({ places }) => places.some((place) => place !== places[0]));
  const fields = varying.map(({ name }) => name);
  const [first = {}] = states;
  const same = Object.fromEntries(names.flatMap((name) => (fields.includes(name) ? [] : [[name, first[name]]])));
  // What is the same in all stands there already: only the values of the other fields are listed.
  const listed = new ValueList();
  const rows = states.map((_, at) => varying.map(({ places }) => listed.place(all.values[places[at] ?? ABSENT])));
  return { kind, same, fields, values: listed.values, rows };
}

/** Values, each once: two places on a shelf that say the same are one value. */
class ValueList {
  readonly values: unknown[] = [];
  readonly #plain = new Map<unknown, number>();
  readonly #composed = new Map<string, number>();

  place(value: unknown): number {
    if (value === undefined) return ABSENT;
    if (typeof value !== 'object' || value === null) return this.#placeIn(this.#plain, value, value);
    return this.#placeIn(this.#composed, JSON.stringify(value), value);
  }

  #placeIn<K>(places: Map<K, number>, key: K, value: unknown): number {
    const known = places.get(key);
    if (known !== undefined) return known;
    places.set(key, this.values.length);
    return this.values.push(value) - 1;
  }
}

function thingsOf({ kind, same, fields, values, rows }: Table): readonly AnyThing[] {
  // Each thing is a copy of one that has all fields in one order, whichever they share: to an engine all are of one shape.
  // Objects that grow field by field, by groups in orders of their own, took it fifteen times as long.
  const whole: Record<string, unknown> = {};
  for (const name of [...Object.keys(same), ...fields].sort()) whole[name] = same[name] ?? null;
  return rows.map((row) => {
    const state = { ...whole };
    for (let at = 0; at < fields.length; at += 1) {
      const name = fields[at] ?? '';
      const position = row[at] ?? ABSENT;
      if (position === ABSENT) delete state[name];
      else state[name] = values[position];
    }
    return { kind, state } as unknown as AnyThing;
  });
}
