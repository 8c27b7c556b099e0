import { describe, expect, it } from '@jest/globals';
import { inWords } from './names-in-words.js';

describe('inWords', () => {
  const names = new Map([['0198c6a0-0000-7000-8000-000000000001', 'OY1']]);

  it('names what the farm knows, in either case of the id, and leaves the rest as it is', () => {
    expect(inWords('Strain 0198C6A0-0000-7000-8000-000000000001 has no mother.', names)).toBe(
      'Strain OY1 has no mother.',
    );
    expect(inWords('start:2026-12-01:0198c6a0-0000-7000-8000-000000000001:G2', names)).toBe('start:2026-12-01:OY1:G2');
    const unknown = 'Room 0198c6a0-0000-7000-8000-000000000009 is full.';
    expect(inWords(unknown, names)).toBe(unknown);
  });
});
