import {
  type BenchChanges,
  type BenchFacts,
  type BenchJobs,
  type BenchSnapshot,
  MAX_ENTRIES_BEHIND,
  packThings,
} from '@jarfold/contracts';
import { addDays, type CalendarDay, calendarDayAt, jobsDone, jobsOfPlan, workByKey } from '@jarfold/domain';
import { readHead, thingsForTablet, thingsTouchedAfter } from '../bench/index.js';
import { readSettings } from '../farm/index.js';
import type { Clock, GrowerContext, GrowerDb, GrowerTx } from '../platform/index.js';
import { factsTag, listsForTablet } from './facts.mapper.js';
import { plansOfDay, workAfter } from './jobs.repository.js';

/** Jars that went stay on a tablet so long, for undoing and for looking back. */
const GONE_DAYS = 30;
const MADE_DAYS = 60;

/** An answer with the tag that tells whether the next one differs. */
export interface Tagged<T> {
  readonly tag: string;
  readonly body: T;
}

/**
 * What a tablet needs to work alone: the farm at one position of the log, and what has changed since. Each answer comes
 * from one database moment, so it is whole in itself.
 */
export class TabletService {
  constructor(
    private readonly growerDb: GrowerDb,
    private readonly clock: Clock,
  ) {}

  async snapshot(ctx: GrowerContext): Promise<Tagged<BenchSnapshot>> {
    return this.growerDb.read(ctx, async (tx) => {
      const facts = await this.#facts(tx, ctx);
      const since = { goneFrom: addDays(facts.today, -GONE_DAYS), madeFrom: addDays(facts.today, -MADE_DAYS) };
      const things = packThings(await thingsForTablet(tx, ctx.growerId, since));
      return { tag: factsTag(facts), body: { ...facts, things } };
    });
  }

  /** The snapshot without the jars: lists, settings, people and jobs, which change without an entry in the log. */
  async facts(ctx: GrowerContext): Promise<Tagged<BenchFacts>> {
    const body = await this.growerDb.read(ctx, (tx) => this.#facts(tx, ctx));
    return { tag: factsTag(body), body };
  }

  /** The present state of everything that entries after a position have touched. */
  async changes(ctx: GrowerContext, after: number): Promise<BenchChanges> {
    return this.growerDb.read(ctx, async (tx) => {
      const { position } = await readHead(tx, ctx.growerId);
      // A tablet ahead of the log has seen a log that is no more, such as one restored from yesterday.
      const tooOld = after > position || position - after > MAX_ENTRIES_BEHIND;
      if (tooOld || after === position) return { position, tooOld, things: [] };
      const changed = await thingsTouchedAfter(tx, ctx.growerId, after);
      const things = changed.map(({ kind, id, state }) => ({ kind, id, state: state && { ...state } }));
      return { position, tooOld, things };
    });
  }

  /** The day's jobs and how far they are. */
  async jobs(ctx: GrowerContext): Promise<BenchJobs> {
    return this.growerDb.read(ctx, async (tx) => {
      const { timeZone } = await readSettings(tx, ctx.growerId);
      return jobsOfDay(tx, ctx.growerId, calendarDayAt(this.clock.now().getTime(), timeZone));
    });
  }

  async #facts(tx: GrowerTx, { growerId }: GrowerContext): Promise<BenchFacts> {
    const now = this.clock.now();
    const { position } = await readHead(tx, growerId);
    const settings = await readSettings(tx, growerId);
    const today = calendarDayAt(now.getTime(), settings.timeZone);
    const lists = await listsForTablet(tx, growerId, today, settings);
    const jobs = await jobsOfDay(tx, growerId, today);
    return { position, takenAt: now.toISOString(), today, ...lists, jobs };
  }
}

async function jobsOfDay(tx: GrowerTx, growerId: string, day: CalendarDay): Promise<BenchJobs> {
  const plans = await plansOfDay(tx, growerId, day);
  if (!plans) return { day, planId: null, jobs: [] };
  const { first, newest } = plans;
  const since = async (position: number) => workByKey(await workAfter(tx, growerId, position));
  const firstSince = await since(first.position);
  const newestSince = newest.id === first.id ? firstSince : await since(newest.position);
  const jobs = jobsDone(
    { jobs: jobsOfPlan(first.plan, day), since: firstSince },
    { jobs: jobsOfPlan(newest.plan, day), since: newestSince },
  );
  return { day, planId: newest.id, jobs: jobs.map((job) => ({ ...job, sources: [...job.sources] })) };
}
