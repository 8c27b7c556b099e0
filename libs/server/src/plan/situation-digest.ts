import { createHash } from 'node:crypto';
import type { FarmSituation } from '@jarfold/domain/planning';
import type { PlanWishes } from './planner.js';

/**
 * Fingerprint of everything a plan depends on: the facts and the model that answers them. Equal digests mean that a
 * new plan would say the same, so none is made.
 * @returns SHA-256 in lower-case hex
 */
export function situationDigest(
  situation: FarmSituation,
  wishes: Omit<PlanWishes, 'grounds'>,
  modelVersion: string,
): string {
  const asked = canonical({ situation, wishes });
  return createHash('sha256').update(modelVersion).update('\n').update(asked).digest('hex');
}

/** JSON with keys in order, so that the same facts read in another order of columns give the same text. */
function canonical(value: unknown): string {
  if (Array.isArray(value)) return `[${value.map(canonical).join(',')}]`;
  if (value === null || typeof value !== 'object') return JSON.stringify(value) ?? 'null';
  const entries = Object.entries(value).filter(([, held]) => held !== undefined);
  entries.sort(([left], [right]) => (left < right ? -1 : 1));
  return `{${entries.map(([key, held]) => `${JSON.stringify(key)}:${canonical(held)}`).join(',')}}`;
}
