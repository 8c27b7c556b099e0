import type { Week } from '@jarfold/contracts';
import { describe, expect, it } from '@jest/globals';
import { gravestFirst } from './gravest-first.js';

type Shortage = Week['shortages'][number];

const shortage = (name: string, day: string, kind: Shortage['kind']) =>
  ({ run: { id: name, name, day }, kind }) as Shortage;

describe('shortages', () => {
  it('show runs below their minimum first, and among alike ones the soonest', () => {
    const shown = gravestFirst([
      shortage('late target', '2027-01-05', 'below-target'),
      shortage('soon target', '2026-12-01', 'below-target'),
      shortage('late minimum', '2027-02-01', 'below-minimum'),
      shortage('soon minimum', '2026-12-20', 'below-minimum'),
    ]);
    expect(shown.map(({ run }) => run.name)).toEqual(['soon minimum', 'late minimum', 'soon target', 'late target']);
  });
});
