import { describe, expect, it } from '@jest/globals';
import { connectionTroubleLog } from './connection-trouble-log.js';
import { createLog } from './log.js';

const lost = () => Object.assign(new Error('terminating connection due to administrator command'), { code: '57P01' });

function listening() {
  const lines: Record<string, unknown>[] = [];
  let nowMs = 0;
  const log = createLog({ write: (line) => lines.push(JSON.parse(line)) });
  const say = connectionTroubleLog(log, () => nowMs);
  return { lines, say, passS: (seconds: number) => (nowMs += seconds * 1000) };
}

describe('troubles of a connection', () => {
  it('are one short line without a stack, however often the same is tried again', () => {
    const { lines, say, passS } = listening();
    for (let i = 0; i < 50; i += 1) say('queue-error', lost());
    expect(lines).toHaveLength(1);
    expect(lines[0]).toMatchObject({ event: 'queue-error', code: '57P01', message: lost().message });
    expect(JSON.stringify(lines)).not.toContain('stack');
    passS(31);
    say('queue-error', lost());
    expect(lines[1]).toMatchObject({ leftOut: 49 });
  });

  it('are told apart by what they say', () => {
    const { lines, say } = listening();
    say('queue-error', lost());
    say('queue-error', Object.assign(new Error('the database system is starting up'), { code: '57P03' }));
    expect(lines).toHaveLength(2);
  });

  it('leave every other error whole, with its stack, each time', () => {
    const { lines, say } = listening();
    const wrong = new TypeError('jar is undefined');
    say('queue-error', wrong, { queue: 'replan' });
    say('queue-error', wrong, { queue: 'replan' });
    expect(lines).toHaveLength(2);
    expect(lines[0]).toMatchObject({ queue: 'replan', error: { name: 'TypeError', stack: expect.any(String) } });
  });
});
