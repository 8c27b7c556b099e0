import { calendarDay } from '@jarfold/domain';
import { describe, expect, it } from '@jest/globals';
import type { DemoIds } from './demo-ids.js';
import { type DemoFarm, demoFarm, demoKitchen } from './demo-plan.js';
import { type DemoStory, storyByDays } from './demo-story.js';
import { StoryRandom } from './story-random.js';

const TODAY = calendarDay('2026-11-25');

function idsFor(plan: DemoFarm): DemoIds {
  const random = new StoryRandom(7);
  return {
    strainIds: plan.strains.map(() => random.uuid()),
    shelves: plan.rooms.flatMap((room) =>
      room.shelves.map((shelf) => ({ ...shelf, id: random.uuid(), roomKind: room.kind })),
    ),
    jarSizeId: random.uuid(),
    plateSizeId: random.uuid(),
    staffIds: plan.staff.map(() => random.uuid()),
  };
}

function tellStory(plan: DemoFarm, ids: DemoIds): DemoStory {
  const days = storyByDays(plan, ids, TODAY);
  for (;;) {
    const step = days.next();
    if (step.done) return step.value;
  }
}

describe.each([
  ['farm', demoFarm],
  ['kitchen', demoKitchen],
])('the story of the invented %s', (_, plan) => {
  const ids = idsFor(plan);
  const story = tellStory(plan, ids);

  it('is the same every time', () => {
    expect(tellStory(plan, ids)).toEqual(story);
  });

  it('never goes back in time', () => {
    const times = story.entries.map(({ atMs }) => atMs);
    expect(times).toEqual([...times].sort((a, b) => a - b));
  });

  it('holds every stage a jar can be in', () => {
    const kinds = new Set(story.entries.map(({ kind }) => kind));
    for (const kind of [
      'received',
      'inoculated',
      'checked',
      'contamination_found',
      'chilled',
      'drawn_for_run',
      'discarded',
      'blanks_kept',
      'harvested',
    ]) {
      expect(kinds).toContain(kind);
    }
  });

  it('plans runs ahead for every strain', () => {
    const ahead = story.runs.filter(({ done }) => !done);
    expect(new Set(ahead.map(({ strainId }) => strainId)).size).toBe(plan.strains.length);
    expect(ahead.every(({ day }) => day > TODAY)).toBe(true);
  });
});
