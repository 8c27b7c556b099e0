import { describe, expect, it } from '@jest/globals';
import { shared } from '../../messages/shared.js';
import { speak } from '../../messages/translate.js';
import { EMPTY_RUN, newRunBody, runPatchBody } from './run-form.js';

speak(shared);

const STRAIN = '3f2b8a54-7f0c-4f5e-9a57-0d6f9f3c2a11';
const filled = { ...EMPTY_RUN, day: '2026-12-14', strainIds: [STRAIN], substrateWetKg: '120' };

describe('the form of a bulk run', () => {
  it('three boxes are enough; the rest is left to the starting values', () => {
    expect(newRunBody(filled)).toEqual({
      ok: true,
      body: { day: '2026-12-14', strainIds: [STRAIN], substrateWetKg: 120 },
    });
  });

  it('percent on the screen are shares in the body', () => {
    const checked = newRunBody({ ...filled, spawnRate: '7', minShare: '82,5' });
    expect(checked).toMatchObject({ ok: true, body: { spawnRate: 0.07, minShare: 0.825 } });
  });

  it('each wrong box gets its own sentence and nothing is sent', () => {
    const checked = newRunBody({ ...filled, day: '2026-02-30', strainIds: [], substrateWetKg: '' });
    expect(checked.ok).toBe(false);
    if (checked.ok) return;
    expect([...checked.errors.keys()].sort()).toEqual(['/day', '/strainIds', '/substrateWetKg']);
  });

  it('an edit sends only what was changed', () => {
    const before = {
      ...filled,
      name: 'Run 1',
      spawnRate: '5',
      minShare: '80',
      priority: '3',
      slackDays: '0',
      basis: 'wet/wet' as const,
    };
    expect(runPatchBody(before, { ...before, substrateWetKg: '150' })).toEqual({
      ok: true,
      body: { substrateWetKg: 150 },
    });
    expect(runPatchBody(before, { ...before, spawnRate: '' }).ok).toBe(false);
  });
});
