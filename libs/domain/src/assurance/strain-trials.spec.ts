import { describe, expect, it } from '@jest/globals';
import { planSpawn } from '../planning/plan-spawn.js';
import { familyFarm, farmFamily } from '../season/farm-family.js';
import { SeasonWorld } from '../season/world/season-world.js';
import { Luck } from './luck.js';
import { simulatedFarm } from './simulated-farm.js';
import { StrainDraws } from './strain-draws.js';
import { StrainTrials } from './strain-trials.js';

/** A strain of a middle farm with the plan it is to live, and trials of it. */
async function trialsOf(name: string) {
  const farm = familyFarm(farmFamily.find((each) => each.name === name)!, 3, 12);
  const { seen } = new SeasonWorld(farm, 3).morning(0, 84);
  const plan = await planSpawn(seen, { exact: 'never', evaluations: 800 });
  const simulated = simulatedFarm(seen, plan, farm.believed);
  const { costs, horizon } = simulated.situation;
  const strain = simulated.strains.find(({ runs, starts }) => runs.length > 0 && starts.length > 0)!;
  const trials = () => new StrainTrials(new StrainDraws(simulated, strain, new Luck(5, 120)), costs, 0.95, horizon);
  return { strain, trials };
}

describe('a try of one start', () => {
  it('tells what holding the change would come to, though it lives only the draws that matter', async () => {
    const { strain, trials } = await trialsOf('middle-lossy');
    const counts = strain.lots.map(({ containers }) => containers);
    const held = trials();
    const before = held.worth;
    let changed = 0;
    for (const { lot } of strain.starts.filter((_, place) => place % 3 === 0)) {
      for (const by of [1, 4, -1, -4]) {
        if (counts[lot]! + by < 0) continue;
        const told = held.tried(lot, by);
        const whole = trials();
        whole.hold(counts.with(lot, counts[lot]! + by));
        changed = Math.max(changed, Math.abs(whole.worth - before));
        // What it leaves out: a start that takes more from its mothers, and which of two jars grows too old.
        expect(Math.abs(told - whole.worth)).toBeLessThan(0.05 * Math.abs(whole.worth - before) + 0.04 * before + 0.5);
      }
    }
    expect(changed).toBeGreaterThan(5);
    expect(held.worth).toBe(before);
  });

  it('says whether a run is covered in a share of the draws as living all of them does', async () => {
    const { strain, trials } = await trialsOf('middle-lossy');
    const counts = strain.lots.map(({ containers }) => containers);
    const held = trials();
    strain.runs.forEach((_, run) => {
      const probability = held.probability(run);
      expect(held.isCovered(run, counts, probability)).toBe(true);
      expect(held.isCovered(run, counts, probability + 1 / 240)).toBe(false);
    });
  });
});
