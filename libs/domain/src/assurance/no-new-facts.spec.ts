import { describe, expect, it } from '@jest/globals';
import { familyFarm, farmFamily } from '../season/farm-family.js';
import { SeasonWorld } from '../season/world/season-world.js';
import { type AssuranceOptions, type AssuredPlan, planWithAssurance } from './plan-with-assurance.js';

const quick: AssuranceOptions = { exact: 'never', draws: 200, searchDraws: 120, trials: 300 };

/** Of each start how many, by its id. */
const counts = ({ starts }: AssuredPlan) => Object.fromEntries(starts.map(({ id, containers }) => [id, containers]));

describe('a plan made again from the same facts with the first one standing', () => {
  it.each(['small-lossy', 'middle-tight'])('changes nothing: %s', async (name) => {
    const farm = familyFarm(farmFamily.find((each) => each.name === name)!, 3, 20);
    const { seen } = new SeasonWorld(farm, 3).morning(0, 84);
    const first = await planWithAssurance(seen, farm.believed, quick);
    const standing = first.starts.map((start) => ({ ...start, hold: 'accepted' as const }));
    const second = await planWithAssurance({ ...seen, standing }, farm.believed, quick);
    expect(counts(second)).toEqual(counts(first));
    expect(second.costParts.changes).toBe(0);
    expect(second.runs.map(({ probability }) => probability)).toEqual(first.runs.map(({ probability }) => probability));
  });
});
