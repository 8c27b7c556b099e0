import { describe, expect, it } from '@jest/globals';
import { jarsInHand, orderDemand, orderStanding, type SpawnOrder } from './spawn-order.js';

const order: SpawnOrder = { jars: 10, minShare: 1, ripeGrams: 600, handedOver: 0 };

describe('orderDemand', () => {
  it('asks for whole jars, all of them, and never for more', () => {
    expect(orderDemand(order)).toEqual({ minGrams: 6000, targetGrams: 6000, maxGrams: 6000 });
  });

  it('lets a least share round up to whole jars', () => {
    expect(orderDemand({ ...order, minShare: 0.75 }).minGrams).toBe(8 * 600);
    expect(orderDemand({ ...order, minShare: 0.7 }).minGrams).toBe(7 * 600);
  });

  it('counts jars that were given as jars, and asks for nothing once all are gone', () => {
    expect(orderDemand({ ...order, minShare: 0.7, handedOver: 4 })).toEqual({
      minGrams: 3 * 600,
      targetGrams: 6 * 600,
      maxGrams: 6 * 600,
    });
    expect(orderDemand({ ...order, handedOver: 12 })).toEqual({ minGrams: 0, targetGrams: 0, maxGrams: 0 });
  });

  it('refuses parts of jars and sizes that hold nothing', () => {
    expect(() => orderDemand({ ...order, jars: 2.5 })).toThrow('2.5');
    expect(() => orderDemand({ ...order, ripeGrams: 0 })).toThrow('0 g');
  });
});

describe('orderStanding', () => {
  it('covers whole jars only: half a jar is none', () => {
    expect(orderStanding(order, 5700).covered).toBe(9);
    expect(orderStanding(order, 600 * 9).covered).toBe(9);
    expect(orderStanding(order, 300).covered).toBe(0);
  });

  it('takes a jar that was filled a little short for a jar', () => {
    expect(orderStanding(order, 5950).covered).toBe(10);
    expect(orderStanding(order, 9000).covered).toBe(10);
  });

  it('counts what is still to be given', () => {
    expect(orderStanding({ ...order, minShare: 0.5, handedOver: 2 }, 1800)).toEqual({ left: 8, least: 3, covered: 3 });
  });
});

describe('jarsInHand', () => {
  it('is the whole jar where a part of it is planned', () => {
    expect(jarsInHand(5700, 600)).toBe(10);
    expect(jarsInHand(610, 600)).toBe(1);
    expect(jarsInHand(0, 600)).toBe(0);
  });
});
