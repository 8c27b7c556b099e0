import { setImmediate as turn } from 'node:timers/promises';
import { afterEach, describe, expect, it } from '@jest/globals';
import { sendPhotos } from './photo-sender.js';

const FARM = '0198c6a0-0000-4000-8000-0000000000a4';
const PHOTO = { id: 'photo', entryId: 'entry', jpegBase64: '/9j/' };
const real = globalThis.fetch;
afterEach(() => {
  globalThis.fetch = real;
});

/** What becomes of one waiting picture when the server answers so. */
async function sentWith(status: number, code: string): Promise<{ farm: string | undefined; kept: boolean }> {
  let farm: string | undefined;
  globalThis.fetch = (async (_path: string, { headers }: { headers: Record<string, string> }) => {
    farm = headers['jarfold-grower'];
    const problem = { type: `/problems/${code}`, title: code, status, detail: code, instance: 'urn:x' };
    return new Response(JSON.stringify({ ...problem, correlationId: FARM, code }), { status });
  }) as unknown as typeof fetch;
  const waiting = [PHOTO];
  let told: () => void = () => undefined;
  const core = {
    status: () => ({ reached: true, unsent: 0 }) as never,
    subscribe: (listener: () => void) => {
      told = listener;
      return () => undefined;
    },
  };
  const store = { photos: async () => [...waiting], dropPhoto: async () => void waiting.pop() };
  sendPhotos(FARM, core, store);
  told();
  for (let turns = 0; turns < 50; turns += 1) await turn();
  return { farm, kept: waiting.length === 1 };
}

describe('photos on their way', () => {
  it('name the farm they are of, and wait while somebody is signed in for another', async () => {
    expect(await sentWith(403, 'other-farm')).toEqual({ farm: FARM, kept: true });
  });

  it.each([
    [409, 'protocol-unsupported'],
    [404, 'not-found'],
    [401, 'sign-in-required'],
    [500, 'internal'],
  ])('are kept after %i %s, which says nothing about the picture', async (status, code) => {
    expect(await sentWith(status, code)).toMatchObject({ kept: true });
  });

  it.each([
    [422, 'invalid-input'],
    [413, 'too-large'],
    [409, 'photo-differs'],
  ])('that the server will never take (%i %s) do not wait for ever', async (status, code) => {
    expect(await sentWith(status, code)).toMatchObject({ kept: false });
  });
});
