import { describe, expect, it } from '@jest/globals';
import { canSpawnSubstrate } from './carriers.js';

describe('what can be mixed into bulk substrate', () => {
  it.each(['grain', 'sawdust', 'plugs'] as const)('%s can', (carrier) => {
    expect(canSpawnSubstrate(carrier)).toBe(true);
  });

  it.each(['agar', 'liquid'] as const)('%s only mothers others', (carrier) => {
    expect(canSpawnSubstrate(carrier)).toBe(false);
  });
});
