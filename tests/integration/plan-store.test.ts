import { addDays, calendarDay, coverageKind } from '@jarfold/domain';
import type { FarmSituation, SpawnPlan } from '@jarfold/domain/planning';
import { enqueueReplan, type Planner, PlanService } from '@jarfold/server';
import type { Clock, GrowerContext } from '@jarfold/server/platform';
import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { farmServices, makeSmallFarm } from '../support/small-farm.js';
import { createTestDatabase, type TestDatabase } from '../support/test-database.js';

/** A planner that answers at once with a plan that does nothing; how plans are made is tested elsewhere. */
class QuickPlanner {
  asked: FarmSituation[] = [];
  before: () => Promise<void> = async () => undefined;

  async plan(situation: FarmSituation) {
    this.asked.push(situation);
    await this.before();
    return { plan: emptyPlan(situation), solveMs: 1 };
  }
}

function emptyPlan({ asOf, runs }: FarmSituation): SpawnPlan {
  const covered = { coveredGrams: 0, probability: null, limit: null };
  return {
    ...{ asOf, starts: [], preparations: [], cultures: [], moves: [], uses: [], stranded: [], impossible: [] },
    ...{ discards: [], reserveGaps: [], cost: 0, bound: 0, gap: 0, exact: true, costParts: {} },
    runs: runs.map(({ id, day, strainIds, minGrams, targetGrams }) => ({
      ...{ run: id, day, strainId: strainIds[0]!, minGrams, targetGrams, ...covered },
    })),
  } as unknown as SpawnPlan;
}

let database: TestDatabase;
let farm: GrowerContext & { readonly runId: string; readonly strainId: string };
let other: GrowerContext;
let now = new Date('2026-11-25T09:00:00Z');
const clock: Clock = { now: () => now };
let quick: QuickPlanner;
let plans: PlanService;

const servicesWith = (planner: QuickPlanner) => farmServices(database, clock, planner as unknown as Planner);

beforeAll(async () => {
  database = await createTestDatabase({ maxConnections: 8 });
  quick = new QuickPlanner();
  const services = servicesWith(quick);
  farm = await makeSmallFarm(database, services, '2026-12-30');
  other = await makeSmallFarm(database, services, '2026-12-30');
  plans = new PlanService(database.growerDb, quick as unknown as Planner, clock);
});
afterAll(() => database.close());

const stored = (grower = farm as GrowerContext) =>
  database.sql<{ id: string; version: number; status: string; situation_digest: string; facts_read_at: Date }>(
    'SELECT id, version, status, situation_digest, facts_read_at FROM plan WHERE grower_id = $1 ORDER BY version',
    [grower.growerId],
  );
const setMass = (grams: number) =>
  database.sql('UPDATE bulk_run SET substrate_wet_g = $2, target_g = $3, max_g = $3 WHERE id = $1', [
    farm.runId,
    grams * 20,
    grams,
  ]);

describe('the situation', () => {
  it('holds what the farm has: jars in their room, the run in grams, values of the species', () => {
    const [situation] = quick.asked;
    expect(situation!.stock).toHaveLength(6);
    expect(situation!.stock[0]).toMatchObject({ state: 'ripe', generation: 1, keptAsMother: false, survival: null });
    expect(situation!.stock[0]!.roomId).toBe(situation!.rooms[0]!.id);
    expect(situation!.runs).toMatchObject([{ minGrams: 1600, targetGrams: 2000, maxGrams: 2200, day: '2026-12-30' }]);
    expect(situation!.strains).toMatchObject([{ daysToRipe: 14, coldLifeDays: 60, lastGeneration: 3 }]);
    expect(situation!.rooms).toMatchObject([{ kind: 'incubation', places: 40 }]);
  });

  it("holds nothing of another farm's", () => {
    const codes = quick.asked.map(({ stock, runs, strains }) => [
      ...stock.map(({ code }) => code),
      runs[0]!.id,
      strains[0]!.id,
    ]);
    const [first, second] = codes;
    expect(second!.slice(-2).some((id) => first!.includes(id))).toBe(false);
  });

  it('counts what was already drawn for a run as had, and leaves out blanks, contaminated and empty jars', async () => {
    const services = servicesWith(quick);
    const jars = await database.sql<{ id: string }>('SELECT id FROM jar WHERE grower_id = $1 ORDER BY code', [
      farm.growerId,
    ]);
    const [drawn, mouldy] = jars;
    await database.growerDb.run(farm, (tx) =>
      services.bench.append(tx, farm, [
        {
          kind: 'drawn_for_run',
          payload: { runId: farm.runId, draws: [{ jarId: drawn!.id, amount: { by: 'all' } }] },
        },
        { kind: 'contamination_found', payload: { jarIds: [mouldy!.id], finding: 'bacteria', sure: true } },
      ]),
    );
    await plans.replan(farm);
    const situation = quick.asked.at(-1)!;
    expect(situation.stock).toHaveLength(4);
    const [{ grams }] = (await database.sql<{ grams: number }>(
      'SELECT sum(mass_g)::float8 AS grams FROM jar_draw',
    )) as [{ grams: number }];
    expect(grams).toBeGreaterThan(0);
    expect(situation.runs[0]!.targetGrams).toBeCloseTo(2000 - grams, 3);
  });

  it('offers a culture on agar to no run, and starts no plates', async () => {
    const [size] = await database.sql<{ id: string }>('SELECT id FROM container_size WHERE grower_id = $1', [
      farm.growerId,
    ]);
    const setCarrier = (carrier: string, container: string) =>
      database.sql('UPDATE container_size SET carrier = $2, container = $3 WHERE grower_id = $1', [
        farm.growerId,
        carrier,
        container,
      ]);
    await setCarrier('agar', 'plate');
    await plans.replan(farm);
    const cultures = quick.asked.at(-1)!;
    expect(cultures.sizes).toMatchObject([{ id: size!.id, cleanEmpty: 0 }]);
    expect(cultures.stock.map(({ keptAsMother }) => keptAsMother)).toEqual([true, true, true, true]);
    await setCarrier('grain', 'jar');
    await plans.replan(farm);
    expect(quick.asked.at(-1)!.stock.map(({ keptAsMother }) => keptAsMother)).toEqual([false, false, false, false]);
  });
});

describe('a plan', () => {
  it('is made anew only from new facts', async () => {
    const before = await stored();
    const same = await plans.replan(farm);
    expect(same).toEqual({ planId: before.at(-1)!.id, changed: false });
    const confirmed = await stored();
    expect(confirmed.map(({ id }) => id)).toEqual(before.map(({ id }) => id));
    expect(confirmed.at(-1)!.facts_read_at > before.at(-1)!.facts_read_at).toBe(true);

    await setMass(2100);
    const changed = await plans.replan(farm);
    expect(changed.changed).toBe(true);
    const after = await stored();
    expect(after.map(({ version }) => version)).toEqual([...before.map(({ version }) => version), before.length + 1]);
    expect(after.filter(({ status }) => status === 'proposed')).toHaveLength(1);
  });

  it('is made anew on a new day, which is a new fact', async () => {
    const before = (await stored()).length;
    now = new Date('2026-11-26T09:00:00Z');
    expect((await plans.replan(farm)).changed).toBe(true);
    expect(await stored()).toHaveLength(before + 1);
    expect(quick.asked.at(-1)!.asOf).toBe(addDays(calendarDay('2026-11-25'), 1));
  });

  it('asked for ten times at once in several processes, is stored once', async () => {
    await setMass(2200);
    const before = (await stored()).length;
    const processes = Array.from(
      { length: 5 },
      () => new PlanService(database.growerDb, quick as unknown as Planner, clock),
    );
    const answers = await Promise.all([...processes, ...processes].map((service) => service.replan(farm)));
    expect(await stored()).toHaveLength(before + 1);
    expect(new Set(answers.map(({ planId }) => planId)).size).toBe(1);
  });

  it('whose making fails leaves the plan that stood, whole', async () => {
    await setMass(2300);
    const before = await stored();
    const newest = await plans.newest(farm);
    const failing = new QuickPlanner();
    failing.before = () => Promise.reject(new Error('out of memory'));
    const service = new PlanService(database.growerDb, failing as unknown as Planner, clock);
    await expect(service.replan(farm)).rejects.toThrow('out of memory');
    expect(await stored()).toEqual(before);
    expect(await plans.newest(farm)).toEqual(newest);
  });

  it('made from older facts than the one that stands is dropped', async () => {
    await setMass(2400);
    const slow = new QuickPlanner();
    slow.before = async () => {
      await setMass(2500);
      await plans.replan(farm);
    };
    const late = await new PlanService(database.growerDb, slow as unknown as Planner, clock).replan(farm);
    const newest = (await stored()).at(-1)!;
    expect(late.planId).toBe(newest.id);
    const { newest: shown } = await plans.newest(farm);
    expect(shown!.plan.runs[0]!.targetGrams).toBeGreaterThan(shown!.plan.runs[0]!.minGrams);
    expect(slow.asked[0]!.runs[0]!.targetGrams).toBeLessThan(shown!.plan.runs[0]!.targetGrams);
  });

  it('is current until facts change, and again once they were answered', async () => {
    const freshness = async () => (await plans.newest(farm)).newest!.freshness;
    await plans.replan(farm);
    expect(await freshness()).toBe('current');
    await database.growerDb.run(farm, (tx) => enqueueReplan(tx, farm, 'bench-entries'));
    expect(await freshness()).toBe('being-made');
    await plans.replan(farm);
    expect(await freshness()).toBe('current');
  });

  it("is its farm's alone", async () => {
    const theirs = await plans.newest(other);
    const own = await stored();
    expect(own.map(({ id }) => id)).not.toContain(theirs.newest!.id);
    expect(await stored(other)).toHaveLength(1);
  });

  it('says short for a run it leaves without spawn', async () => {
    const { newest } = await plans.newest(other);
    const [run] = newest!.plan.runs;
    expect(coverageKind({ ...run!, strainId: run!.strain, limit: null })).toBe('short');
  });
});
