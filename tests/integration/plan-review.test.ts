import { Planner, PlanReviewService } from '@jarfold/server';
import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { startApi, type TestApi, type World } from '../support/api-app.js';
import { farmServices } from '../support/small-farm.js';

let api: TestApi;
let farm: World;
let neighbour: World;
let now = new Date('2026-11-23T09:00:00Z'); // a Monday

beforeAll(async () => {
  api = await startApi({ clock: () => now });
  farm = await api.farm('Farm');
  neighbour = await api.farm('Neighbour');
  const started = await farm.call('POST', '/api/farm/first-start', {
    strain: { speciesKey: 'pleurotus-ostreatus' },
    ripeJars: 6,
    run: { day: '2026-12-22', substrateWetKg: 40 },
  });
  expect(started.status).toBeLessThan(300);
  // A busy machine may leave the first plan to the worker; here somebody waits for it.
  expect((await farm.call('POST', '/api/plan')).status).toBe(200);
});
afterAll(() => api.close());

const review = async (world = farm) => (await world.call('GET', '/api/plan/review')).body;

describe('the newest plan', () => {
  it('says how likely each run is covered, and of each start what for, why now and what if skipped', async () => {
    const { review: plan, assurance } = await review();
    expect(assurance).toBe(0.95);
    expect(plan).toMatchObject({ status: 'proposed', acceptedAt: null, freshness: 'current' });
    expect(plan.assurance).toMatchObject({ asked: 0.95, draws: 2000, runs: 1 });
    const [start] = plan.starts;
    expect(start.containers).toBeGreaterThan(0);
    expect(start.lastSafeDay >= start.benchDay).toBe(true);
    expect(plan.starts.flatMap(({ feeds }: { feeds: object[] }) => feeds).length).toBeGreaterThan(0);
    expect(plan.starts.some(({ withoutIt }: { withoutIt: object[] | null }) => withoutIt !== null)).toBe(true);
    const { body } = await farm.call('GET', '/api/runs');
    expect(body.items[0].coverage.probability).toBeGreaterThan(0.5);
  });

  it('is accepted by a lead, once, and only while it is the newest', async () => {
    const { review: plan } = await review();
    const hand = await farm.colleague('hand');
    expect((await hand.call('POST', '/api/plan/accept', { planId: plan.planId })).status).toBe(403);
    const accepted = await farm.call('POST', '/api/plan/accept', { planId: plan.planId });
    expect(accepted.body.review).toMatchObject({ status: 'accepted', acceptedAt: '2026-11-23T09:00:00.000Z' });
    expect((await farm.call('POST', '/api/plan/accept', { planId: plan.planId })).body).toEqual(accepted.body);
    expect((await neighbour.call('POST', '/api/plan/accept', { planId: plan.planId })).status).toBe(404);
  });

  it('stays the same while there are no new facts: a replan changes nothing', async () => {
    const before = await review();
    expect((await farm.call('POST', '/api/plan')).body).toEqual({ planId: before.review.planId, changed: false });
    expect(await review()).toEqual(before);
  });
});

describe('a pin', () => {
  it('holds a start at its count through a replan, and lets it go again', async () => {
    const { review: before } = await review();
    const [start] = before.starts;
    const pin = {
      ...{ benchDay: start.benchDay, strainId: start.strain.id, generation: start.generation, sizeId: start.size.id },
      containers: start.containers + 1,
    };
    expect((await farm.call('PUT', '/api/plan/pins', pin)).body.changed).toBe(true);
    const { review: pinned } = await review();
    expect(pinned.pins).toMatchObject([{ benchDay: pin.benchDay, containers: pin.containers }]);
    const held = pinned.starts.find(({ id }: { id: string }) => id === start.id);
    expect(held).toMatchObject({ hold: 'pinned', containers: pin.containers });
    await farm.call('PUT', '/api/plan/pins', { ...pin, containers: null });
    expect((await review()).review.pins).toEqual([]);
  });

  it('on a day gone by or for a strain of another farm is refused and nothing is kept', async () => {
    const { review: plan } = await review();
    const [{ strain, size, generation }] = plan.starts;
    const pin = { benchDay: '2026-11-20', strainId: strain.id, generation, sizeId: size.id, containers: 3 };
    const gone = await farm.call('PUT', '/api/plan/pins', pin);
    expect([gone.status, gone.body.code]).toEqual([422, 'rule-refused']);
    const foreign = await neighbour.call('PUT', '/api/plan/pins', { ...pin, benchDay: '2026-12-01' });
    expect([foreign.status, foreign.body.code]).toEqual([422, 'rule-refused']);
    const [{ count }] = (await api.database.sql('SELECT count(*)::int AS count FROM plan_pin')) as [{ count: number }];
    expect(count).toBe(0);
  });
});

describe('what if', () => {
  it('answers side by side with the plan that stands, and keeps nothing', async () => {
    const before = await review();
    const { body: runs } = await farm.call('GET', '/api/runs');
    const suppose = [{ kind: 'move-run', runId: runs.items[0].id, day: '2027-01-12' }];
    const { status, body } = await farm.call('POST', '/api/plan/what-if', { suppose });
    expect(status).toBe(200);
    expect(body.runs).toMatchObject([{ before: { day: '2026-12-22' }, now: { day: '2027-01-12' } }]);
    expect(body).toMatchObject({ runsNow: 1, runsIf: 1, costNow: before.review.cost });
    expect(await review()).toEqual(before);
  });

  it('refuses to suppose something of what is not there, in a sentence', async () => {
    for (const suppose of [
      [{ kind: 'lose-lot', code: 'XX9-26W01-1' }],
      [{ kind: 'move-run', runId: '0198c6a0-0000-7000-8000-000000000009', day: '2027-01-12' }],
      [{ kind: 'no-bench', from: '2026-12-09', until: '2026-12-01' }],
    ]) {
      const { status, body } = await farm.call('POST', '/api/plan/what-if', { suppose });
      expect([status, body.code]).toEqual([422, 'rule-refused']);
      expect(body.detail).toContain('Nothing was changed.');
    }
    const nonsense = await farm.call('POST', '/api/plan/what-if', { suppose: [{ kind: 'rain' }] });
    expect([nonsense.status, nonsense.body.code]).toEqual([400, 'invalid-input']);
  });
});

describe('what changed', () => {
  it('names the fact behind it', async () => {
    const { body: runs } = await farm.call('GET', '/api/runs');
    const [run] = runs.items;
    now = new Date('2026-11-24T09:00:00Z');
    const changed = await farm.call(
      'PATCH',
      `/api/runs/${run.id}`,
      { day: '2026-12-29' },
      { 'if-match': `"${run.revision}"` },
    );
    expect(changed.status).toBe(200);
    const { body } = await farm.call('GET', '/api/plan/changes?days=0');
    expect(body.changes.why).toContainEqual({
      ...{ kind: 'run-moved', subject: run.name },
      ...{ before: '2026-12-22', now: '2026-12-29' },
    });
    expect((await neighbour.call('GET', '/api/plan/changes')).body).toEqual({ changes: null });
  });
});

describe('assurance', () => {
  it('is the grower’s choice and asks for a new plan', async () => {
    expect((await farm.call('PUT', '/api/plan/assurance', { assurance: 0.8 })).body.changed).toBe(true);
    const { review: plan, assurance } = await review();
    expect([assurance, plan.assurance.asked]).toEqual([0.8, 0.8]);
    const certain = await farm.call('PUT', '/api/plan/assurance', { assurance: 1 });
    expect(certain.status).toBe(400);
  });
});

describe('what if beside a plan of the night', () => {
  class CountingPlanner extends Planner {
    glances = 0;

    override plan(...[situation, effort, wishes]: Parameters<Planner['plan']>): ReturnType<Planner['plan']> {
      if (effort === 'glance') this.glances += 1;
      return super.plan(situation, effort, wishes);
    }
  }
  const planner = new CountingPlanner();
  let reviews: PlanReviewService;
  const clock = { now: () => now };
  const glancesOf = async (ask: () => Promise<unknown>) => {
    const before = planner.glances;
    await ask();
    return planner.glances - before;
  };

  beforeAll(async () => {
    now = new Date('2026-11-25T03:00:00Z');
    const { plans } = farmServices(api.database, clock, planner);
    await plans.replan(farm, 'thorough');
    reviews = new PlanReviewService(api.database.growerDb, plans, planner, clock);
  });
  afterAll(() => planner.close());

  it('makes that plan at a glance ahead where somebody is about to ask, and once for all they ask', async () => {
    const suppose = [{ kind: 'no-bench' as const, from: '2026-12-01' as never, until: '2026-12-04' as never }];
    expect(await glancesOf(() => reviews.readyForWhatIf(farm))).toBe(1);
    expect(await glancesOf(() => reviews.whatIf(farm, { suppose }))).toBe(1);
    expect(await glancesOf(() => reviews.whatIf(farm, { suppose }))).toBe(1);
  });

  it('makes it anew once another plan stands or the facts are others', async () => {
    const { review: newest } = await reviews.newest(farm);
    await reviews.accept(farm, { planId: newest?.planId ?? '' });
    expect(await glancesOf(() => reviews.readyForWhatIf(farm))).toBe(1);
    now = new Date('2026-11-26T03:00:00Z');
    expect(await glancesOf(() => reviews.readyForWhatIf(farm))).toBe(1);
    expect(await glancesOf(() => reviews.readyForWhatIf(farm))).toBe(0);
  });

  it('is asked for by the screen before the question', async () => {
    expect(await farm.call('GET', '/api/plan/what-if')).toMatchObject({ status: 200, body: { ready: true } });
  });
});
