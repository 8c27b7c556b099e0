import { describe, expect, it } from '@jest/globals';
import { defaultCosts, defaultRhythm } from './planning-defaults.js';

describe('the default costs', () => {
  const perGramMade = (defaultCosts.perContainerStarted + defaultCosts.perCycle / defaultRhythm.vesselPlaces) / 600;

  it('make covering a run of the lowest priority cheaper than leaving it short, through three generations of loss', () => {
    expect(defaultCosts.perGramShort / 9).toBeGreaterThan(perGramMade * 3);
  });

  it('make reaching a target worth its jars', () => {
    expect(defaultCosts.perGramBelowTarget).toBeGreaterThan(perGramMade);
  });

  it('never let a preference for young or fresh spawn outweigh a jar', () => {
    expect(defaultCosts.perGramGeneration * 3 + defaultCosts.perGramDayOld * 60).toBeLessThan(perGramMade);
  });
});
