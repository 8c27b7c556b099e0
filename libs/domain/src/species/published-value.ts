import { requireThat } from '../errors.js';
import type { SourceKey } from './sources.js';

/**
 * How far a published number has been checked.
 * - `read`: the figure was read in the publication's own text
 * - `copy`: read in a text that reproduces the publication
 * - `memory`: recalled, not checked; shown with that mark
 * - `common practice`: customary in the trade, no publication found
 */
export type Confidence = 'read' | 'copy' | 'memory' | 'common practice';

export const confidences: readonly Confidence[] = ['read', 'copy', 'memory', 'common practice'];

/**
 * A number to start from until a farm has its own, with where it comes from. The unit stands in the name of the field
 * that holds it. `low` and `high` are the published range where there is one.
 */
export interface Published {
  readonly value: number;
  readonly low: number | null;
  readonly high: number | null;
  readonly source: SourceKey;
  readonly confidence: Confidence;
  /** What the publication measured, where it differs from what it is used for here. */
  readonly note: string | null;
}

interface PublishedExtras {
  readonly range?: readonly [low: number, high: number];
  readonly note?: string;
}

/**
 * Writes down a published number.
 * @throws DomainError `published-value-outside-range` when the value lies outside its own range.
 * @example published(12, 'Kalhout', 'read', { range: [9, 15] })
 */
export function published(
  value: number,
  source: SourceKey,
  confidence: Confidence,
  { range, note }: PublishedExtras = {},
): Published {
  const [low, high] = range ?? [null, null];
  requireThat(
    Number.isFinite(value) && (low === null || high === null || (low <= value && value <= high)),
    'published-value-outside-range',
    `The value ${value} lies outside its own range ${low} to ${high} (${source}).`,
  );
  return { value, low, high, source, confidence, note: note ?? null };
}

/** A customary number without a publication. */
export const customary = (value: number, extras: PublishedExtras = {}): Published =>
  published(value, 'Trade', 'common practice', extras);
