import type { Week } from '@jarfold/contracts';

type Shortage = Week['shortages'][number];

/** Runs that do not reach their minimum before those that only miss their target; then the soonest. */
export function gravestFirst(shortages: readonly Shortage[]): Shortage[] {
  return shortages.toSorted(
    (one, other) => rank(one) - rank(other) || one.run.day.localeCompare(other.run.day) || byName(one, other),
  );
}

const rank = ({ kind }: Shortage): number => (kind === 'below-minimum' ? 0 : 1);
const byName = (one: Shortage, other: Shortage): number => one.run.name.localeCompare(other.run.name);
