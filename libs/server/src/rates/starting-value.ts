import type { StartingValue } from '@jarfold/contracts';
import { fromPublished, type Published } from '@jarfold/domain';

/** A published number as an answer shows it: with its range and where it is from. */
export function publishedStart(published: Published): StartingValue {
  const { value, source, confidence, note } = fromPublished(published);
  return { value, low: published.low, high: published.high, origin: 'species', source, confidence, note };
}

/** The farm's own word where it has given one, else what is published. */
export function startOf(ownWord: number | null, published: Published): StartingValue {
  if (ownWord === null) return publishedStart(published);
  return { value: ownWord, low: null, high: null, origin: 'farm', source: null, confidence: null, note: null };
}
