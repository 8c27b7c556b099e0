import { type CalendarDay, dayNumber, isoWeekday } from '@jarfold/domain';
import type { DemoIds } from './demo-ids.js';
import type { DemoFarm } from './demo-plan.js';
import { ShelfPlaces } from './shelf-places.js';
import { BenchSession } from './story-bench-session.js';
import { JarCare } from './story-jar-care.js';
import type { StoryStrain } from './story-jars.js';
import { type StoryEntry, StoryLog } from './story-log.js';
import { StoryRandom } from './story-random.js';
import { type StoryRun, StoryRuns } from './story-runs.js';
import { StoryWorld } from './story-world.js';

export interface DemoStory {
  readonly entries: readonly StoryEntry[];
  readonly runs: readonly StoryRun[];
}

/**
 * Lives an invented farm's past day by day, by a simple rule of thumb and with random failures, up to the given day.
 * Same plan, ids and day: same story. Nothing in it describes a real farm. Yields after each day, so that whoever has
 * something else to do meanwhile may do it.
 */
export function* storyByDays(plan: DemoFarm, ids: DemoIds, today: CalendarDay): Generator<void, DemoStory, void> {
  const random = new StoryRandom(plan.seed);
  const strains: StoryStrain[] = plan.strains.map((strain, at) => ({ ...strain, id: ids.strainIds[at]! }));
  const log = new StoryLog(random, ids.staffIds);
  const places = (kind: string): ShelfPlaces =>
    new ShelfPlaces(ids.shelves.filter(({ roomKind }) => roomKind === kind));
  const world = new StoryWorld(plan, strains, ids, random, log, places('incubation'), places('cold'), dayNumber(today));
  const bench = new BenchSession(world);
  const care = new JarCare(world);
  const runs = new StoryRuns(world);
  const last = dayNumber(today);
  const first = last - plan.historyDays;
  bench.openTheFarm(first);
  for (let day = first + 1; day <= last; day += 1) {
    care.washWhatWasEmptied(day);
    care.walkTheShelves(day);
    runs.onDay(day, isoWeekday(log.day(day)));
    bench.onDay(day);
    care.chillAndClear(day, day === last);
    yield;
  }
  return { entries: log.entries, runs: [...runs.done, ...runs.ahead(last, plan.aheadDays)] };
}
