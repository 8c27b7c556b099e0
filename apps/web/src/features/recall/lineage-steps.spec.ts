import { describe, expect, it } from '@jest/globals';
import { lineageSteps, type RecalledJar } from './lineage-steps.js';

const jar = (over: Partial<RecalledJar>): RecalledJar => ({
  ...{ jarId: crypto.randomUUID(), code: 'x', lotId: 'lot', lotCode: 'LOT', relation: 'asked', steps: 0 },
  ...{ strainCode: 'OY1', generation: 2, state: 'ripe', madeOn: '2026-11-01' as RecalledJar['madeOn'] },
  ...{ contaminatedOn: null, place: null, madeG: 1, drawnG: 0, leftG: 1, discardedG: 0 },
  ...over,
});

describe('a lineage read from the culture down', () => {
  it('has the farthest ancestor first, sisters beside what was asked for, and children below', () => {
    const steps = lineageSteps([
      jar({}),
      jar({ relation: 'ancestor', steps: 1 }),
      jar({ relation: 'ancestor', steps: 2 }),
      jar({ relation: 'descendant', steps: 1 }),
      jar({ relation: 'sister', steps: null }),
    ]);
    expect(steps.map(({ relation, steps: away }) => [relation, away])).toEqual([
      ['ancestor', 2],
      ['ancestor', 1],
      ['asked', 0],
      ['sister', null],
      ['descendant', 1],
    ]);
  });

  it('counts each lot of a step: what still stands and what went bad', () => {
    const [step] = lineageSteps([
      jar({ relation: 'descendant', steps: 1, lotId: 'a', lotCode: 'A', state: 'emptied' }),
      jar({ relation: 'descendant', steps: 1, lotId: 'a', lotCode: 'A', contaminatedOn: '2026-11-09' as never }),
      jar({ relation: 'descendant', steps: 1, lotId: 'b', lotCode: 'B' }),
    ]);
    expect(step).toMatchObject({
      jars: 3,
      lots: [
        { code: 'A', standing: 1, contaminated: 1 },
        { code: 'B', standing: 1 },
      ],
    });
  });
});
