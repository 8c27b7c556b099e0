import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { startApi, type TestApi, type World } from '../support/api-app.js';
import { until } from '../support/until.js';
import { startWorker, type WorkerProcess } from '../support/worker-process.js';

let api: TestApi;
let farm: World;
let worker: WorkerProcess;

beforeAll(async () => {
  api = await startApi();
  farm = await api.farm('Farm');
  worker = await startWorker({ env: api.database.env });
}, 120_000);
afterAll(async () => {
  await worker.killHard();
  await api.close();
});

describe('a worker', () => {
  it('looks over the farm after entries that matter, also one that has nothing to plan with', async () => {
    // No strain and no size yet: the replan of these entries has nothing to plan, and the watch looks all the same.
    const cycleId = randomUUID();
    const at = (minutesAgo: number) => new Date(Date.now() - minutesAgo * 60_000).toISOString();
    const size = (await farm.call('POST', '/api/farm/sizes', { name: 'Litre', volumeMl: 1000 })).body;
    const loads = [{ sizeId: size.id, count: 8 }];
    const entries = [
      { kind: 'cycle_started', payload: { cycleId, method: 'boiling_water_steam', loads } },
      { kind: 'cycle_ended', payload: { cycleId, holdMin: 5 } },
    ].map((entry, i) => ({ id: randomUUID(), sequence: i + 1, happenedAt: at(30 - 10 * i), ...entry }));
    const batch = { deviceId: randomUUID(), sentAt: new Date().toISOString(), entries };
    const { body } = await farm.call('POST', '/api/bench/entries', batch);
    expect(body.answers.map(({ outcome }: { outcome: string }) => outcome)).toEqual(['applied', 'applied']);
    const flags = async () => (await farm.call('GET', '/api/watch')).body.items as { kind: string; what: string }[];
    await until('a flag of the cycle', async () => (await flags()).some(({ kind }) => kind === 'cycle-departed'));
    expect(await flags()).toHaveLength(1);
  });
});
