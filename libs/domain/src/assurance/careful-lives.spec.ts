import { describe, expect, it } from '@jest/globals';
import { kitchen, stockJar } from '../../../../tests/reference/planning-kitchen.js';
import { addDays } from '../calendar/calendar-day.js';
import { acceptSituation } from '../planning/accept-situation.js';
import type { FarmSituation } from '../planning/situation.js';
import { withCarefulLives } from './careful-lives.js';
import { noChance, usualChance } from './farm-chance.js';

const farm = kitchen();
const [strain] = farm.strains;

/** Last day of use without the cold, as the planner counts it, of a jar that has been ripe for so many days. */
function lastDay(ripeFor: number, careful: boolean, changes: Partial<FarmSituation> = {}): number {
  const jar = stockJar({ code: 'J-1', state: 'ripe', ripeOn: addDays(farm.asOf, -ripeFor) });
  const seen = { ...farm, ...changes, stock: [jar] };
  const planned = careful ? withCarefulLives(seen, usualChance(seen)) : seen;
  return acceptSituation(planned).containers[0]!.until;
}

describe('a careful plan', () => {
  it('counts on lives that nine containers in ten reach', () => {
    const careful = withCarefulLives(farm, usualChance(farm)).strains[0]!;
    expect(careful.warmLifeDays).toBe(Math.round(strain!.warmLifeDays * 0.872));
  });

  it.each([
    ['may not be chilled', { strains: [{ ...strain!, mayBeChilled: false }] }],
    ['has no cold room to go to', { rooms: farm.rooms.filter(({ kind }) => kind !== 'cold') }],
  ])('plans with what stands, and %s, to the day every screen tells', (_, warmOnly) => {
    const life = strain!.warmLifeDays;
    for (const ripeFor of [life - 6, life - 1, life])
      expect([ripeFor, lastDay(ripeFor, true, warmOnly)]).toEqual([ripeFor, lastDay(ripeFor, false, warmOnly)]);
  });

  it('chills what stands before half of it would be lost, and at once what is past that', () => {
    const life = strain!.warmLifeDays;
    const careful = Math.round(life * 0.872);
    expect(lastDay(life - 6, true)).toBe(6 - (life - careful));
    expect(lastDay(careful, true)).toBe(0);
    expect(lastDay(life - 1, true)).toBe(0);
    expect(lastDay(life, true)).toBe(0);
  });

  it('is the plan itself where nothing is left to chance', () => {
    expect(withCarefulLives(farm, noChance(farm)).strains).toEqual(farm.strains);
  });
});
