/** A zero character cannot be kept in the database, and half a surrogate pair is no character at all (RFC 3629 section 3). */
const UNSTORABLE = /[\0\p{Cs}]/u;

/**
 * Where an input holds text that nothing could keep as it is: in a value or in a key. Walks without recursion, since how
 * deep an input nests is up to whoever sends it.
 * @returns the paths, in no particular order
 */
export function unstorableTexts(input: unknown): PropertyKey[][] {
  const found: PropertyKey[][] = [];
  const toVisit: { readonly value: unknown; readonly path: Path | null }[] = [{ value: input, path: null }];
  for (let next = toVisit.pop(); next; next = toVisit.pop()) {
    const { value, path } = next;
    if (typeof value === 'string' && UNSTORABLE.test(value)) found.push(stepsOf(path));
    if (typeof value !== 'object' || value === null || ArrayBuffer.isView(value)) continue;
    for (const [key, inner] of Object.entries(value)) {
      const at = { step: Array.isArray(value) ? Number(key) : key, before: path };
      if (UNSTORABLE.test(key)) found.push(stepsOf(at));
      toVisit.push({ value: inner, path: at });
    }
  }
  return found;
}

/** Paths share their beginnings: a list per place would make deep inputs cost the square of their depth. */
interface Path {
  readonly step: PropertyKey;
  readonly before: Path | null;
}

function stepsOf(path: Path | null): PropertyKey[] {
  const steps: PropertyKey[] = [];
  for (let at = path; at; at = at.before) steps.push(at.step);
  return steps.reverse();
}
