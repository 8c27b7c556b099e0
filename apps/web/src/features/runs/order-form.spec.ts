import type { Farm } from '@jarfold/contracts';
import { describe, expect, it } from '@jest/globals';
import { shared } from '../../messages/shared.js';
import { speak } from '../../messages/translate.js';
import { EMPTY_ORDER, newOrderBody, orderPatchBody, sizesToOrder } from './order-form.js';

speak(shared);

const STRAIN = '3f2b8a54-7f0c-4f5e-9a57-0d6f9f3c2a11';
const SIZE = '3f2b8a54-7f0c-4f5e-9a57-0d6f9f3c2a22';
const filled = { ...EMPTY_ORDER, day: '2026-12-14', strainIds: [STRAIN], sizeId: SIZE, jars: '12' };

describe('the form of an order', () => {
  it('day, strain, size and jars are enough; all of the jars are wanted unless a share is typed', () => {
    const body = { kind: 'order', day: '2026-12-14', strainIds: [STRAIN], sizeId: SIZE, jars: 12 };
    expect(newOrderBody(filled)).toEqual({ ok: true, body });
    expect(newOrderBody({ ...filled, minShare: '50' })).toEqual({ ok: true, body: { ...body, minShare: 0.5 } });
  });

  it('each wrong box gets its own sentence and nothing is sent', () => {
    const checked = newOrderBody({ ...filled, jars: '2,5', sizeId: '', strainIds: [] });
    expect(checked.ok).toBe(false);
    if (checked.ok) return;
    expect([...checked.errors.keys()].sort()).toEqual(['/jars', '/sizeId', '/strainIds']);
  });

  it('an edit sends only what was changed', () => {
    const before = { ...filled, name: 'Hill', minShare: '100', priority: '1', slackDays: '0', forWhom: 'A school' };
    expect(orderPatchBody(before, { ...before, jars: '9', forWhom: '' })).toEqual({
      ok: true,
      body: { jars: 9, forWhom: null },
    });
    expect(orderPatchBody(before, { ...before, jars: '' }).ok).toBe(false);
  });

  it('offers sizes in use that hold spawn, and the one the order has', () => {
    const size = (id: string, carrier: string, archived = false) => ({ id, carrier, archived });
    const farm = {
      sizes: [size('litre', 'grain'), size('plate', 'agar'), size('old', 'grain', true)],
    } as unknown as Farm;
    expect(sizesToOrder(farm, '').map(({ id }) => id)).toEqual(['litre']);
    expect(sizesToOrder(farm, 'old').map(({ id }) => id)).toEqual(['litre', 'old']);
  });
});
