import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { startApi, type TestApi, type World } from '../support/api-app.js';

let api: TestApi;
let farm: World;
let neighbour: World;

beforeAll(async () => {
  api = await startApi({ clock: () => new Date('2026-11-25T09:00:00Z') });
  farm = await api.farm('Farm');
  neighbour = await api.farm('Neighbour');
});
afterAll(() => api.close());

async function failed({ growerId }: World, jobName = 'replan'): Promise<string> {
  const id = randomUUID();
  await api.database.sql(
    `INSERT INTO failed_job (grower_id, id, job_name, payload, reason, attempts, failed_at)
     VALUES ($1, $2, $3, $4, 'The database was away.', 5, '2026-11-25T03:00:00Z')`,
    [growerId, id, jobName, JSON.stringify({ version: 1, growerId, reason: 'nightly' })],
  );
  return id;
}

describe('failed jobs', () => {
  it("are shown to their farm's owner and leads, and to nobody else", async () => {
    const id = await failed(farm);
    const { body } = await farm.call('GET', '/api/jobs/failed');
    expect(body.items).toEqual([
      {
        ...{ id, name: 'replan', reason: 'The database was away.', attempts: 5, retriedAt: null },
        failedAt: '2026-11-25T03:00:00.000Z',
      },
    ]);
    expect((await neighbour.call('GET', '/api/jobs/failed')).body.items).toEqual([]);
    const hand = await farm.colleague('hand');
    expect((await hand.call('GET', '/api/jobs/failed')).status).toBe(403);
    expect((await neighbour.call('POST', `/api/jobs/failed/${id}/retry`)).status).toBe(404);
  });

  it('are tried again when somebody asks: the job is enqueued and says when', async () => {
    const id = await failed(farm);
    const { status, body } = await farm.call('POST', `/api/jobs/failed/${id}/retry`);
    expect([status, body.retriedAt]).toEqual([200, '2026-11-25T09:00:00.000Z']);
    const rows = await api.database.sql('SELECT job_name, payload FROM outbox WHERE grower_id = $1', [farm.growerId]);
    expect(rows).toEqual([{ job_name: 'replan', payload: { version: 1, growerId: farm.growerId, reason: 'asked' } }]);
  });

  it('that no hand can try again say so, and a settled one is gone', async () => {
    const id = await failed(farm, 'count-sheep');
    const refused = await farm.call('POST', `/api/jobs/failed/${id}/retry`);
    expect([refused.status, refused.body.code]).toEqual([409, 'conflict']);
    await api.database.sql('UPDATE failed_job SET settled_at = now() WHERE id = $1', [id]);
    expect((await farm.call('POST', `/api/jobs/failed/${id}/retry`)).status).toBe(404);
  });
});

describe('a plan asked for', () => {
  it('on a farm with nothing to plan is refused with what is missing', async () => {
    const { status, body } = await farm.call('POST', '/api/plan');
    expect([status, body.code]).toEqual([422, 'rule-refused']);
    expect(body.detail).toContain('add a strain and a container size');
    expect((await farm.call('GET', '/api/plan')).body).toEqual({ newest: null });
  });

  it('is asked for by an owner or a lead', async () => {
    const hand = await farm.colleague('hand');
    expect((await hand.call('POST', '/api/plan')).status).toBe(403);
  });

  it('the week before the first plan is empty and says so', async () => {
    const { body } = await farm.call('GET', '/api/week');
    expect(body).toMatchObject({
      week: '2026-W48',
      monday: '2026-11-23',
      planId: null,
      freshness: 'current',
      benchDays: [],
    });
    for (const week of ['2026-W54', '2025-W53', '2026-48', 'now']) {
      const answer = await farm.call('GET', `/api/week?week=${week}`);
      expect([week, answer.status, answer.body.errors?.[0].pointer]).toEqual([week, 400, '/week']);
    }
  });
});
