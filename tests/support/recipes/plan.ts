import type { World } from '../api-app.js';
import { aStrain, ifMatch } from './farm.js';
import type { Recipes } from './recipe.js';

const newRun = (strainId: string) => ({ day: '2099-02-02', strainIds: [strainId], substrateWetKg: 30 });

async function aRun(world: World): Promise<{ readonly id: string; readonly revision: number }> {
  const answer = await world.call('POST', '/api/runs', newRun((await aStrain(world)).id));
  if (answer.status !== 201) throw new Error(`POST /api/runs: ${answer.text}`);
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
