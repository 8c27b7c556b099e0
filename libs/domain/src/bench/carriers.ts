import type { Carrier } from './entry.js';

/**
 * Whether what grows on a carrier can be mixed into bulk substrate as spawn. Grain, sawdust and plugs can; a culture on
 * agar or in liquid only mothers other containers: it holds next to no food for the mycelium to run from.
 * Source: common practice, no source.
 */
export function canSpawnSubstrate(carrier: Carrier): boolean {
  return carrier === 'grain' || carrier === 'sawdust' || carrier === 'plugs';
}
