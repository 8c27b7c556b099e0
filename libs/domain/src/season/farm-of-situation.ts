import { usualChance } from '../assurance/farm-chance.js';
import { addDays, daysBetween } from '../calendar/calendar-day.js';
import type { FarmSituation } from '../planning/situation.js';
import { type SeasonFarm, type SeasonRun, seasonWeeks } from './season-farm.js';

/** Runs are known so many days before, unless the farm's own list begins later. */
const KNOWN_DAYS = 70;

/**
 * A season of a farm as it is: its runs come again and again in the rhythm of its list, since no list reaches a year. The
 * farm's losses and days are taken for the world's.
 */
export function seasonOfSituation(name: string, start: FarmSituation, weeks = seasonWeeks): SeasonFarm {
  const ahead = start.runs.map((run) => ({ run, day: daysBetween(start.asOf, run.day) })).filter(({ day }) => day >= 0);
  const last = Math.max(0, ...ahead.map(({ day }) => day));
  const span = Math.max(28, Math.ceil((last + 1) / 7) * 7);
  const runs: SeasonRun[] = [];
  for (let turn = 0; turn * span < weeks * 7; turn += 1) {
    for (const { run, day } of ahead) {
      const date = addDays(start.asOf, day + turn * span);
      if (day + turn * span >= weeks * 7) continue;
      runs.push({
        run: { ...run, id: turn === 0 ? run.id : `${run.id} (${turn + 1})`, day: date },
        knownOn: addDays(date, -KNOWN_DAYS),
      });
    }
  }
  return { name, start, runs, believed: usualChance(start), turns: {}, missedBenchShare: 0.02, weeks };
}
