import type { CalendarFeed, CalendarFeedList, MadeCalendarFeed, NewCalendarFeed } from '@jarfold/contracts';
import { calendarDayAt, calendarText, type DayEvent } from '@jarfold/domain';
import { hashOfToken, newSecretToken } from '../identity/index.js';
import { newestFacts } from '../plan/index.js';
import { AppError, type Clock, type GrowerContext, type GrowerDb, type GrowerTx, type Ids } from '../platform/index.js';
import { listRuns } from '../runs/index.js';
import { jarJson, listOnHand, readFarmNames } from '../stock/index.js';
import {
  type CalendarFeedRow,
  feedOfSecret,
  findFeed,
  insertFeed,
  listFeeds,
  revokeFeed,
} from './calendar-feed.repository.js';
import { BENCH_CATEGORIES, feedEvents } from './feed-events.js';

/** Calendar feeds: secret addresses that anybody who knows one can read, until it is revoked. */
export class CalendarFeedService {
  constructor(
    private readonly growerDb: GrowerDb,
    private readonly clock: Clock,
    private readonly ids: Ids,
  ) {}

  /** The farm's, and those of the person who asks. */
  async list(ctx: GrowerContext): Promise<CalendarFeedList> {
    const rows = await this.growerDb.read(ctx, (tx) => listFeeds(tx, ctx.growerId, ctx.staffId));
    return { items: rows.map(feedJson) };
  }

  /** @throws AppError `role-too-low` for a feed of the whole farm asked for by a hand */
  async add(ctx: GrowerContext, { name, of }: NewCalendarFeed): Promise<MadeCalendarFeed> {
    if (of === 'farm' && ctx.role === 'hand') {
      throw new AppError('role-too-low', 'A feed of the whole farm is made by a lead or an owner.');
    }
    const secret = newSecretToken();
    const feed: CalendarFeedRow = {
      ...{ id: this.ids.next(), name, createdAt: this.clock.now(), revokedAt: null },
      staffId: of === 'person' ? ctx.staffId : null,
    };
    await this.growerDb.run(ctx, (tx) => insertFeed(tx, ctx.growerId, { ...feed, tokenHash: hashOfToken(secret) }));
    return { feed: feedJson(feed), path: `/api/calendar/${ctx.growerId}/${secret}.ics` };
  }

  /** From now on its address answers like one that never was. @throws AppError `not-found` */
  async revoke(ctx: GrowerContext, id: string): Promise<CalendarFeed> {
    return this.growerDb.run(ctx, async (tx) => {
      const feed = await findFeed(tx, ctx.growerId, id);
      const isOwn = feed?.staffId === ctx.staffId;
      if (feed === null || (feed.staffId === null ? ctx.role === 'hand' : !isOwn && ctx.role !== 'owner')) {
        throw new AppError('not-found', 'There is no such calendar feed of yours.');
      }
      const revokedAt = feed.revokedAt ?? this.clock.now();
      await revokeFeed(tx, ctx.growerId, id, revokedAt);
      return feedJson({ ...feed, revokedAt });
    });
  }

  /** The calendar at a secret address. @throws AppError `not-found` */
  async read(growerId: string, secret: string): Promise<string> {
    return this.growerDb.read({ growerId }, async (tx) => {
      const feed = await feedOfSecret(tx, growerId, hashOfToken(secret.replace(/\.ics$/, '')));
      if (feed === null) throw new AppError('not-found', 'There is no calendar at this address, or it was revoked.');
      const events = await this.#events(tx, growerId);
      const shown = feed.role === 'hand' ? events.filter(({ category }) => BENCH_CATEGORIES.has(category)) : events;
      return calendarText({
        name: feed.name,
        madeAt: this.clock.now().toISOString(),
        events: shown.map((event) => ({ ...event, id: `${event.id}@${growerId}` })),
      });
    });
  }

  async #events(tx: GrowerTx, growerId: string): Promise<DayEvent[]> {
    const names = await readFarmNames(tx, growerId);
    const asOf = calendarDayAt(this.clock.now().getTime(), names.settings.timeZone);
    const { plan } = await newestFacts(tx, { growerId, staffId: null, role: null });
    const runs = await listRuns(tx, growerId, { state: 'planned' });
    const jars = (await listOnHand(tx, growerId)).map((jar) => jarJson(jar, names, asOf));
    return feedEvents({ names, plan: plan?.plan ?? null, runs, jars });
  }
}

function feedJson({ id, name, staffId, createdAt, revokedAt }: CalendarFeedRow): CalendarFeed {
  return {
    ...{ id, name, of: staffId === null ? ('farm' as const) : ('person' as const) },
    createdAt: createdAt.toISOString(),
    revokedAt: revokedAt?.toISOString() ?? null,
  };
}
