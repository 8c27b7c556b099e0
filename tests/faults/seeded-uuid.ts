import type { SeededRandom } from '@jarfold/domain';

/** An id that the same seed gives again. */
export function seededUuid(random: SeededRandom): string {
  const hex = Array.from({ length: 32 }, () => random.whole(16).toString(16)).join('');
  return `${hex.slice(0, 8)}-${hex.slice(8, 12)}-4${hex.slice(13, 16)}-8${hex.slice(17, 20)}-${hex.slice(20)}`;
}
