import { describe, expect, it } from '@jest/globals';
import { createLog, type LogLevel } from './log.js';

function recording(level: LogLevel = 'info') {
  const lines: { text: string; level: LogLevel }[] = [];
  const log = createLog({
    level,
    write: (text, at) => lines.push({ text, level: at }),
    now: () => new Date('2026-11-25T07:30:00Z'),
  });
  return { log, lines, first: () => JSON.parse(lines[0]!.text) as Record<string, unknown> };
}

describe('the log', () => {
  it('writes one JSON line per event, with time, level and event first', () => {
    const { log, lines } = recording();
    log.info('plan-made', { growerId: 'g', costEur: 12.5, note: 'two\nlines' });
    expect(lines).toHaveLength(1);
    expect(lines[0]!.text).toBe(
      '{"time":"2026-11-25T07:30:00.000Z","level":"info","event":"plan-made","growerId":"g","costEur":12.5,"note":"two\\nlines"}',
    );
  });

  it('leaves out what is below its level', () => {
    const { log, lines } = recording('warn');
    log.debug('a');
    log.info('b');
    log.warn('c');
    log.error('d');
    expect(lines.map((line) => line.level)).toEqual(['warn', 'error']);
  });

  it.each([
    'password',
    'newPassword',
    'token',
    'sessionToken',
    'cookie',
    'authorization',
    'passwordHash',
    'email',
    'pin',
  ])('never shows the value of %s, however deep', (name) => {
    const { log, lines } = recording();
    log.info('request', { body: [{ [name]: 'canary-value' }], [name]: 'canary-value' });
    expect(lines[0]!.text).not.toContain('canary-value');
    expect(lines[0]!.text).toContain('[redacted]');
  });

  it('keeps words that only look like secrets', () => {
    const { log, first } = recording();
    log.info('jar', { opinion: 'clean', shipping: 'none', pinning: 3 });
    expect(first()).toMatchObject({ opinion: 'clean', shipping: 'none', pinning: 3 });
  });

  it('takes the password out of an address, in fields and in errors', () => {
    const { log, lines } = recording();
    const address = 'postgresql://farm:hunter2@db:5432/jarfold';
    log.error('failed', { address, error: new Error(`cannot reach ${address}`, { cause: new Error(address) }) });
    expect(lines[0]!.text).not.toContain('hunter2');
    expect(lines[0]!.text).toContain('postgresql://farm:[redacted]@db:5432/jarfold');
  });

  it('shows an error with name, message, code and cause', () => {
    const { log, first } = recording();
    const cause = Object.assign(new Error('refused'), { code: 'ECONNREFUSED' });
    log.error('failed', { error: new TypeError('no database', { cause }) });
    expect(first().error).toMatchObject({
      name: 'TypeError',
      message: 'no database',
      cause: { name: 'Error', message: 'refused', code: 'ECONNREFUSED' },
    });
  });

  it('does not fail on what JSON cannot hold: big numbers, bytes, circles', () => {
    const { log, first } = recording();
    const circle: Record<string, unknown> = {};
    circle.self = circle;
    log.info('odd', { position: 12n, bytes: new Uint8Array(3), circle });
    expect(first()).toMatchObject({ position: '12', bytes: '[3 bytes]' });
  });

  it('carries the fields it was given on every line', () => {
    const { log, first } = recording();
    log.with({ correlationId: 'c1' }).info('answered', { status: 200 });
    expect(first()).toMatchObject({ correlationId: 'c1', status: 200 });
  });
});
