import type { Week } from '@jarfold/contracts';
import type { CalendarDay } from '@jarfold/domain';

type StrandedJar = Week['stranded'][number];

/** Jars of one lot that get too old on the same day: thirty lines of a sheet become one. */
export interface StrandedJars {
  readonly key: string;
  /** The jar's code when it is one, the lot's when there are several. */
  readonly name: string;
  readonly expires: CalendarDay;
  readonly grams: number;
  readonly jars: readonly StrandedJar[];
}

/** Soonest first. */
export function strandedGroups(stranded: readonly StrandedJar[]): readonly StrandedJars[] {
  const groups = new Map<string, StrandedJar[]>();
  for (const jar of stranded) {
    const key = `${lotOf(jar.code)} ${jar.expires}`;
    groups.set(key, [...(groups.get(key) ?? []), jar]);
  }
  return [...groups]
    .map(([key, jars]) => groupOf(key, jars))
    .sort((a, b) => a.expires.localeCompare(b.expires) || a.name.localeCompare(b.name));
}

function groupOf(key: string, jars: readonly StrandedJar[]): StrandedJars {
  const [first] = jars as readonly [StrandedJar, ...StrandedJar[]];
  return {
    key,
    name: jars.length === 1 ? first.code : lotOf(first.code),
    expires: first.expires,
    grams: jars.reduce((sum, jar) => sum + jar.grams, 0),
    jars,
  };
}

/** `OY3-26W48-2` of `OY3-26W48-2/07`. */
const lotOf = (code: string): string => code.split('/')[0] ?? code;
