/** Things sorted by their kind, kinds in the order in which they first appear. */
export function byKind<T extends { readonly kind: string }>(things: readonly T[]): Map<T['kind'], T[]> {
  const groups = new Map<T['kind'], T[]>();
  for (const thing of things) {
    const group = groups.get(thing.kind);
    if (group) group.push(thing);
    else groups.set(thing.kind, [thing]);
  }
  return groups;
}
