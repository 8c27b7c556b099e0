import { describe, expect, it } from '@jest/globals';
import { judgePin } from './pin-rules.js';

describe('judgePin', () => {
  it.each(['000000', '777777', '121212', '123123', '123456', '654321', '890123', '210987'])('refuses %s', (pin) => {
    expect(judgePin(pin)).toEqual(expect.stringContaining('choose another'));
  });

  it.each(['493017', '112233', '100001', '135790'])('lets %s pass', (pin) => {
    expect(judgePin(pin)).toBeNull();
  });
});
