import type { World } from '../api-app.js';
import { aSize, aStrain, ifMatch } from './farm.js';
import type { Recipes } from './recipe.js';

const newRun = (strainId: string) => ({ day: '2099-02-02', strainIds: [strainId], substrateWetKg: 30 });

interface Run {
  readonly id: string;
  readonly revision: number;
  readonly state: string;
}

const lastRun = new WeakMap<World, string>();

/** A planned run as it stands now. One serves until it is cancelled: each new one waits for a plan. */
async function aRun(world: World): Promise<Run> {
  const known = lastRun.get(world);
  const standing = known === undefined ? undefined : (await world.call('GET', `/api/runs/${known}`)).body;
  if (standing?.state === 'planned') return standing;
  const answer = await world.call('POST', '/api/runs', newRun((await aStrain(world)).id));
  if (answer.status !== 201) throw new Error(`POST /api/runs: ${answer.text}`);
  lastRun.set(world, answer.body.run.id);
  return answer.body.run;
}

async function newestPlanId(world: World): Promise<string> {
  await aRun(world);
  await world.call('POST', '/api/plan');
  const answer = await world.call('GET', '/api/plan/review');
  return answer.body.review.planId;
}

export const recipes: Recipes = {
  'GET /api/runs': () => ({}),
  'GET /api/runs/{runId}': async (world) => ({ params: { runId: (await aRun(world)).id } }),
  'POST /api/runs': async (world) => ({ body: newRun((await aStrain(world)).id) }),
  'PATCH /api/runs/{runId}': async (world) => {
    const run = await aRun(world);
    return {
      params: { runId: run.id },
      body: { substrateWetKg: 25, strainIds: [(await aStrain(world)).id] },
      headers: ifMatch(run),
    };
  },
  'POST /api/runs/{runId}/cancel': async (world) => {
    const run = await aRun(world);
    return { params: { runId: run.id }, body: { reason: 'no straw' }, headers: ifMatch(run) };
  },
  'GET /api/plan': () => ({}),
  'POST /api/plan': () => ({}),
  'GET /api/plan/review': () => ({}),
  'POST /api/plan/accept': async (world) => ({ body: { planId: await newestPlanId(world) } }),
  'PUT /api/plan/pins': async (world) => ({
    body: {
      ...{ benchDay: '2099-02-03', generation: 2, containers: null },
      strainId: (await aStrain(world)).id,
      sizeId: (await aSize(world)).id,
    },
  }),
  'PUT /api/plan/assurance': () => ({ body: { assurance: 0.9 } }),
  'GET /api/plan/changes': () => ({ query: { days: '7' } }),
  'GET /api/plan/what-if': () => ({}),
  'POST /api/plan/what-if': async (world) => ({
    body: { suppose: [{ kind: 'move-run', runId: (await aRun(world)).id, day: '2099-02-09' }] },
  }),
  'GET /api/week': () => ({ query: { week: '2026-W48' } }),
  'GET /api/jobs/failed': () => ({}),
};
