import { describe, expect, it } from '@jest/globals';
import type { BenchCore, BenchStatus } from './bench-core.js';
import { putAwaySettled } from './settled-at-desk.js';

type Look = BenchStatus['needsLook'][number];

function tabletWith(entries: readonly (readonly [id: string, state: Look['state']])[]) {
  const needsLook = entries.map(([id, state]) => ({ id, state }) as Look);
  const away: string[] = [];
  const core: Pick<BenchCore, 'status' | 'putAway'> = {
    status: () => ({ needsLook: needsLook.filter(({ id }) => !away.includes(id)) }) as unknown as BenchStatus,
    putAway: async (id) => {
      away.push(id);
    },
  };
  return { core, needsLook, away };
}

describe('what was settled at the desk', () => {
  it('leaves the tablet; what is refused still, or could never be sent, stays', async () => {
    const { core, away } = tabletWith([
      ['settled', 'refused'],
      ['open', 'refused'],
      ['unsendable', 'unsendable'],
    ]);
    await putAwaySettled(core, async () => new Set(['open']));
    expect(away).toEqual(['settled']);
  });

  it('is nothing while the server does not say', async () => {
    const { core, away } = tabletWith([['one', 'refused']]);
    await putAwaySettled(core, async () => null);
    expect(away).toEqual([]);
  });

  it('does not count an entry that was refused while the list was on its way', async () => {
    const { core, needsLook, away } = tabletWith([['settled', 'refused']]);
    await putAwaySettled(core, async () => {
      needsLook.push({ id: 'just refused', state: 'refused' } as Look);
      return new Set();
    });
    expect(away).toEqual(['settled']);
  });
});
