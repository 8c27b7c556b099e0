import { setImmediate as others } from 'node:timers/promises';
import { type CalendarDay, calendarDayAt } from '@jarfold/domain';
import { recordPast, refreshStatistics } from '../bench/index.js';
import { addRoomIn, addShelfIn, addSizeIn, addStrainIn, lockFarm, readSettings, writeSettings } from '../farm/index.js';
import { createGrower } from '../identity/index.js';
import { settleReplans } from '../jobs/index.js';
import { Planner, PlanService } from '../plan/index.js';
import type { Clock, GrowerContext, GrowerDb, GrowerTx, Platform } from '../platform/index.js';
import { addRunsIn } from '../runs/index.js';
import { WatchService } from '../watch/index.js';
import { addStaff, listGrowers, markRunsDone } from './demo.repository.js';
import type { DemoIds } from './demo-ids.js';
import { type DemoFarm, demoFarm, demoKitchen } from './demo-plan.js';
import { type DemoStory, storyByDays } from './demo-story.js';
import { StoryRandom } from './story-random.js';

export type DemoKind = 'farm' | 'kitchen';

/** What one loading of a demo is given, and given again when it was interrupted. */
export interface DemoOrder {
  readonly kind: DemoKind;
  readonly password: string;
  /** The day the story ends; a later continuation must name the same. */
  readonly today: CalendarDay;
}

const PLANS: Readonly<Record<DemoKind, DemoFarm>> = { farm: demoFarm, kitchen: demoKitchen };

/** The address a demo's owner signs in with. */
export const demoEmail = (kind: DemoKind): string => PLANS[kind].email;

/** The demo's calendar day at a moment. */
export const demoToday = (kind: DemoKind, clock: Clock): CalendarDay =>
  calendarDayAt(clock.now().getTime(), PLANS[kind].timeZone);

type OwnerContext = GrowerContext & { readonly staffId: string };

/** An invented farm, found without any database. */
export interface ToldDemo {
  readonly ids: LoadedIds;
  readonly story: DemoStory;
}

/**
 * Tells the story of a demo. A day at a time, so that a process whose database comes up meanwhile hears of it; telling
 * takes a second. Every id comes from the seed, except that of the owner, who is known when the farm is made.
 */
export async function tellDemo({ kind, today }: Pick<DemoOrder, 'kind' | 'today'>): Promise<ToldDemo> {
  const ids = idsOf(PLANS[kind]);
  const days = storyByDays(PLANS[kind], ids, today);
  for (;;) {
    const day = days.next();
    if (day.done) return { ids, story: day.value };
    await others();
  }
}

/**
 * Puts an invented farm into an empty service: its lists, its runs, a history through the bench log's own rules, and a
 * first plan. The same order tells the same story, so an interrupted loading is continued where it stopped.
 * @param told the order's story, when it was begun to be told before; else it is told where it is needed
 * @returns false when the service already holds a farm that is not this unfinished demo; nothing is changed then.
 */
export async function loadDemo(
  platform: Platform,
  order: DemoOrder,
  clock: Clock,
  told?: Promise<ToldDemo>,
): Promise<boolean> {
  const planner = new Planner();
  // Its thread reads its code while the log is written.
  planner.warmUp();
  try {
    return await grow(platform, planner, order, clock, told);
  } finally {
    await planner.close();
  }
}

async function grow(
  { growerDb, platformDb }: Platform,
  planner: Planner,
  order: DemoOrder,
  clock: Clock,
  told: Promise<ToldDemo> | undefined,
): Promise<boolean> {
  const plan = PLANS[order.kind];
  const ctx = await ownerOf(plan, platformDb, order);
  if (ctx === null) return false;
  const unfinished = await growerDb.read(ctx, async (tx) => (await readSettings(tx, ctx.growerId)).startedAt === null);
  if (!unfinished) return false;
  const { ids, story } = await (told ?? tellDemo(order));
  await growerDb.run(ctx, (tx) => makeLists(tx, ctx, plan, ids));
  await growerDb.run(ctx, (tx) => makeRuns(tx, ctx, plan, story.runs));
  await recordHistory(growerDb, ctx, plan, story, clock.now());
  const done = story.runs.filter((run) => run.done);
  await growerDb.run(ctx, (tx) => markRunsDone(tx, ctx.growerId, done));
  await growerDb.run(ctx, (tx) => setRhythm(tx, ctx, plan));
  // Should this end before the plan is made, the demo is unfinished and is planned when it is continued.
  await platformDb.run((tx) => settleReplans(tx, ctx.growerId, 'answered by the first plan'));
  await new PlanService(growerDb, planner, clock).replan(ctx);
  await new WatchService(growerDb, clock).look(ctx);
  await growerDb.run(ctx, (tx) => markStarted(tx, ctx, clock));
  return true;
}

/** The log of a year takes seconds; this is the point to give up on a machine that stands still. */
const STORY_LIMIT_MS = 600_000;

async function ownerOf(
  plan: DemoFarm,
  platformDb: Platform['platformDb'],
  { password }: DemoOrder,
): Promise<OwnerContext | null> {
  const growers = await platformDb.run((tx) => listGrowers(tx));
  const [only, ...others] = growers;
  if (others.length > 0 || (only && only.name !== plan.farmName)) return null;
  if (only) return { growerId: only.growerId, staffId: only.ownerStaffId, role: 'owner' };
  const { farmName, timeZone, email, staff } = plan;
  const made = await createGrower(platformDb, { farmName, timeZone, email, password, ownerName: staff[0]!.name });
  return { growerId: made.growerId, staffId: made.ownerStaffId, role: 'owner' };
}

interface LoadedIds extends DemoIds {
  readonly rooms: readonly string[];
}

/** The owner in a story: their id is given when the farm is made, which may be after the story is told. */
const OWNER = 'owner';

const staffIdOf = (inStory: string, { staffId }: OwnerContext): string => (inStory === OWNER ? staffId : inStory);

function idsOf(plan: DemoFarm): LoadedIds {
  const random = new StoryRandom(plan.seed * 1000 + 1);
  const rooms = plan.rooms.map(() => random.uuid());
  return {
    rooms,
    strainIds: plan.strains.map(() => random.uuid()),
    shelves: plan.rooms.flatMap((room) =>
      room.shelves.map((shelf) => ({ ...shelf, id: random.uuid(), roomKind: room.kind })),
    ),
    jarSizeId: random.uuid(),
    plateSizeId: random.uuid(),
    staffIds: plan.staff.map((_, at) => (at === 0 ? OWNER : random.uuid())),
  };
}

async function makeLists(tx: GrowerTx, ctx: OwnerContext, plan: DemoFarm, ids: LoadedIds): Promise<void> {
  await lockFarm(tx, ctx.growerId);
  for (const [at, { name, role }] of plan.staff.entries())
    await addStaff(tx, ctx.growerId, { id: staffIdOf(ids.staffIds[at]!, ctx), role, name });
  const shelves = [...ids.shelves];
  for (const [at, room] of plan.rooms.entries()) {
    const roomId = await addRoomIn(tx, ctx, {
      id: ids.rooms[at]!,
      name: room.name,
      kind: room.kind,
      temperatureC: room.temperatureC,
    });
    for (const { name, rows, placesPerRow } of room.shelves)
      await addShelfIn(tx, ctx, { id: shelves.shift()!.id, roomId, name, rows, placesPerRow });
  }
  await addSizeIn(tx, ctx, {
    id: ids.jarSizeId,
    name: `Jar ${plan.jarMl} ml`,
    volumeMl: plan.jarMl,
    ripeGrams: plan.jarRipeG,
  });
  await addSizeIn(tx, ctx, {
    id: ids.plateSizeId,
    name: 'Agar plate',
    container: 'plate',
    carrier: 'agar',
    volumeMl: 90,
    ripeGrams: 30,
    vesselPlaces: 0.2,
    shelfPlaces: 0.2,
  });
  for (const [at, strain] of plan.strains.entries()) {
    const { shortCode, name, speciesKey, inoculumG, daysToRipe, lossRate, warmLifeDays, coldLifeDays, mayBeChilled } =
      strain;
    await addStrainIn(tx, ctx, {
      id: ids.strainIds[at]!,
      code: shortCode,
      name,
      speciesKey,
      inoculumGramsPerContainer: inoculumG,
      ...(strain.saysItself ? { daysToRipe, lossRate } : {}),
      warmLifeDays,
      coldLifeDays,
      mayBeChilled,
      motherReserve: 2,
      culture: { leadDays: 7, containersPerUnit: 5, costPerUnit: 12 },
    });
  }
}

async function makeRuns(tx: GrowerTx, ctx: OwnerContext, plan: DemoFarm, runs: DemoStory['runs']): Promise<void> {
  await lockFarm(tx, ctx.growerId);
  const wanted = runs.map(({ id, name, day, strainId, substrateKg }) => ({
    id,
    name,
    day,
    strainIds: [strainId],
    substrateWetKg: substrateKg,
    spawnRate: plan.spawnRate,
    basis: 'wet/wet' as const,
    minShare: 0.8,
  }));
  await addRunsIn(tx, ctx, wanted);
}

/** The story in one batch: all of it or nothing, so that an interrupted loading tells it again from the beginning. */
async function recordHistory(growerDb: GrowerDb, ctx: OwnerContext, plan: DemoFarm, story: DemoStory, now: Date) {
  const device = { id: new StoryRandom(plan.seed * 1000 + 2).uuid(), name: 'Story of the demo' };
  const entries = story.entries.map(({ id, kind, payload, staffId, atMs }) => ({
    id,
    kind,
    payload: { ...payload },
    staffId: staffIdOf(staffId, ctx),
    happenedAt: new Date(atMs).toISOString(),
  }));
  const record = async (tx: GrowerTx) => (await recordPast(tx, ctx, { device, entries }, now)).append();
  await growerDb.run(ctx, record, { timeoutMs: STORY_LIMIT_MS });
  await growerDb.run(ctx, refreshStatistics);
}

async function setRhythm(tx: GrowerTx, ctx: OwnerContext, plan: DemoFarm): Promise<void> {
  const settings = await readSettings(tx, ctx.growerId);
  const rhythm = {
    ...settings.rhythm,
    benchWeekdays: [...plan.benchWeekdays],
    openedLifeDays: plan.openedLifeDays,
    benchContainersPerDay: plan.jarsPerBenchDay,
    vesselPlaces: plan.vesselPlaces,
    cyclesPerPreparationDay: plan.cyclesPerPreparationDay,
  };
  await writeSettings(tx, ctx.growerId, { ...settings, rhythm, revision: settings.revision + 1 });
}

/** The last step: a demo without this mark was interrupted and is continued by the next start. */
async function markStarted(tx: GrowerTx, ctx: OwnerContext, clock: Clock): Promise<void> {
  const settings = await readSettings(tx, ctx.growerId);
  await writeSettings(tx, ctx.growerId, { ...settings, revision: settings.revision + 1, startedAt: clock.now() });
}
