import { describe, expect, it } from '@jest/globals';
import { calendarDay } from '../calendar/calendar-day.js';
import type { PlannedUse } from '../planning/plan.js';
import { orderInPlan } from './order-in-plan.js';

const day = calendarDay('2026-12-10');
const order = { sizeId: 'litre', jars: 3, minShare: 1, ripeGrams: 600, handedOver: 0 };
const use = (from: string, grams: number, run = 'order'): PlannedUse => ({
  ...{ day, from, grams, cold: false, opened: 1, openedOn: day },
  to: { kind: 'run', run },
});
const jars = new Map([
  ['whole-1', { sizeId: 'litre', opened: false }],
  ['whole-2', { sizeId: 'litre', opened: false }],
  ['opened', { sizeId: 'litre', opened: true }],
  ['bag', { sizeId: 'bag', opened: false }],
]);
const starts = [
  { id: 'start 1', sizeId: 'litre' },
  { id: 'start 2', sizeId: 'bag' },
] as never;
const standing = (...uses: PlannedUse[]) => orderInPlan({ uses, starts }, { run: 'order' }, order, jars);

describe('orderInPlan', () => {
  it('counts unopened jars of its size, on hand and planned, and only what goes to it', () => {
    const three = standing(use('whole-1', 600), use('whole-2', 600), use('start 1', 600), use('whole-1', 99, 'run'));
    expect(three).toEqual({ left: 3, least: 3, covered: 3, kind: 'full', shortGrams: 0, otherGrams: 0 });
  });

  it('sets apart what comes out of opened jars and other sizes: no jar leaves the farm by it', () => {
    expect(standing(use('whole-1', 600), use('opened', 600), use('bag', 300), use('start 2', 300))).toEqual({
      ...{ left: 3, least: 3, covered: 1, kind: 'short', shortGrams: 1200, otherGrams: 1200 },
    });
  });

  it('is covered with its least share of jars, short below it', () => {
    const lenient = { ...order, minShare: 0.5 };
    const by = (...uses: PlannedUse[]) => orderInPlan({ uses, starts }, { run: 'order' }, lenient, jars);
    expect(by(use('whole-1', 600), use('whole-2', 600))).toMatchObject({ kind: 'covered', shortGrams: 600 });
    expect(by(use('whole-1', 600))).toMatchObject({ kind: 'short', shortGrams: 600 });
  });

  it('wants nothing more once its jars are given', () => {
    const given = orderInPlan({ uses: [], starts }, { run: 'order' }, { ...order, handedOver: 3 }, jars);
    expect(given).toMatchObject({ left: 0, kind: 'full', shortGrams: 0 });
  });
});
