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
  const texts = new Map(names.map((name) => [name, states.map((state) => JSON.stringify(state[name]))]));
  const fields = names.filter((name) => new Set(texts.get(name)).size > 1);
  const [first = {}] = states;
  const same = Object.fromEntries(names.flatMap((name) => (fields.includes(name) ? [] : [[name, first[name]]])));
  const values: unknown[] = [];
  const positions = new Map<string | undefined, number>([[undefined, ABSENT]]);
  const positionOf = (name: string, at: number): number => {
    const text = texts.get(name)?.[at];
    const position = positions.get(text) ?? values.push(states[at]?.[name]) - 1;
    positions.set(text, position);
    return position;
  };
  return { kind, same, fields, values, rows: states.map((_, at) => fields.map((name) => positionOf(name, at))) };
}

function thingsOf({ kind, same, fields, values, rows }: Table): readonly AnyThing[] {
  return rows.map((row) => {
    const state: Record<string, unknown> = { ...same };
    for (let at = 0; at < fields.length; at += 1) {
      const position = row[at] ?? ABSENT;
      if (position !== ABSENT) state[fields[at] ?? ''] = values[position];
    }
    return { kind, state } as unknown as AnyThing;
  });
}
