import { describe, expect, it } from '@jest/globals';
import { timeOrderedIds, uuidV7 } from './ports.js';

describe('uuidV7', () => {
  it('is the example of RFC 9562, appendix A.6', () => {
    // 2022-02-22T19:22:22Z; rand_a = 0xCC3, rand_b = 0x18C4DC0C0C07398F (the two top bits make way for the variant)
    const random = Buffer.from('0cc318c4dc0c0c07398f', 'hex');
    expect(uuidV7(0x017f22e279b0, random)).toBe('017f22e2-79b0-7cc3-98c4-dc0c0c07398f');
  });

  it('orders by time', () => {
    let now = 1_700_000_000_000;
    const ids = timeOrderedIds({ now: () => new Date(now++) });
    const made = Array.from({ length: 50 }, () => ids.next());
    expect([...made].sort()).toEqual(made);
  });

  it('has the version and variant of a UUID whatever the random bytes are', () => {
    for (const byte of [0x00, 0xff]) {
      expect(uuidV7(1, new Uint8Array(10).fill(byte))).toMatch(/^.{14}7.{4}[89ab]/);
    }
  });
});
