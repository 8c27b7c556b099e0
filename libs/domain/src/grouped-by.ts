/** Things by a key, keys in the order in which they first appear, the things of a key in the order in which they came. */
// Map.groupBy is not there before Node 21 and in older tablets' browsers.
export function groupedBy<Thing, Key>(things: Iterable<Thing>, keyOf: (thing: Thing) => Key): Map<Key, Thing[]> {
  const groups = new Map<Key, Thing[]>();
  for (const thing of things) {
    const key = keyOf(thing);
    const group = groups.get(key);
    if (group) group.push(thing);
    else groups.set(key, [thing]);
  }
  return groups;
}
