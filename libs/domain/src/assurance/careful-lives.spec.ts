import { describe, expect, it } from '@jest/globals';
import { kitchen, stockJar } from '../../../../tests/reference/planning-kitchen.js';
import { addDays } from '../calendar/calendar-day.js';
import { acceptSituation } from '../planning/accept-situation.js';
import { withCarefulLives } from './careful-lives.js';
import { noChance, usualChance } from './farm-chance.js';

const farm = kitchen();
const [strain] = farm.strains;

/** Last day of use, as the planner counts it, of a jar that has been ripe for so many days. */
function lastDay(ripeFor: number, careful: boolean): number {
  const jar = stockJar({ code: 'J-1', state: 'ripe', ripeOn: addDays(farm.asOf, -ripeFor) });
  const seen = { ...farm, stock: [jar] };
  const planned = careful ? withCarefulLives(seen, usualChance(seen)) : seen;
  return acceptSituation(planned).containers[0]!.until;
}

describe('a careful plan', () => {
  it('counts on lives that nine containers in ten reach', () => {
    const careful = withCarefulLives(farm, usualChance(farm)).strains[0]!;
    expect(careful.warmLifeDays).toBe(Math.round(strain!.warmLifeDays * 0.872));
  });

  it('plans with what stands to the day every screen tells', () => {
    const life = strain!.warmLifeDays;
    for (const ripeFor of [life - 6, life - 1, life])
      expect([ripeFor, lastDay(ripeFor, true)]).toEqual([ripeFor, lastDay(ripeFor, false)]);
  });

  it('is the plan itself where nothing is left to chance', () => {
    expect(withCarefulLives(farm, noChance(farm)).strains).toEqual(farm.strains);
  });
});
