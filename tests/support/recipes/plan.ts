import type { World } from '../api-app.js';
import { aStrain, ifMatch } from './farm.js';
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
  'GET /api/week': () => ({ query: { week: '2026-W48' } }),
  'GET /api/jobs/failed': () => ({}),
};
