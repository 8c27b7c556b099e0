import { BENCH_PROTOCOL, OLDEST_BENCH_PROTOCOL } from '@jarfold/contracts';
import { describe, expect, it } from '@jest/globals';
import { judgeProtocol } from './protocol.js';

const server = { oldest: 4, newest: 5 };

describe('judgeProtocol', () => {
  it('serves its own protocol and the one before', () => {
    expect(judgeProtocol('5', server)).toBeNull();
    expect(judgeProtocol('4', server)).toBeNull();
  });

  it('tells a newer app that the server is behind, and a much older one to load again', () => {
    expect(judgeProtocol('6', server)).toMatch(/newer \(protocol 6\).*server up to date/);
    expect(judgeProtocol('3', server)).toMatch(/too old \(protocol 3\).*load the app again/);
  });

  it.each(['', '0', '1.5', 'x', '-1', '12345678'])('refuses "%s"', (asked) => {
    expect(judgeProtocol(asked, server)).toMatch(/is a number such as 5/);
  });

  it('is never served further back than one version', () => {
    expect(BENCH_PROTOCOL - OLDEST_BENCH_PROTOCOL).toBeLessThanOrEqual(1);
  });
});
