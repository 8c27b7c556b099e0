import type { TraceQuery } from '@jarfold/contracts';
import { addDays, calendarDayAt, epcisDocument, type TraceRecords } from '@jarfold/domain';
import { readSettings } from '../farm/index.js';
import { AppError, type Clock, type GrowerContext, type GrowerDb } from '../platform/index.js';
import { listTraceHarvests, listTraceLots, MOST_LOTS, type TraceScope } from './trace.repository.js';

/** Writes lot records as a file. The service knows no file format: whoever starts it brings one. */
export type WriteLotRecords = (records: TraceRecords) => Promise<Buffer>;

const YEAR_DAYS = 365;

/** Lot records: where everything came from and where it went, of a lot or a range of days. */
export class TraceabilityService {
  constructor(
    private readonly growerDb: GrowerDb,
    private readonly clock: Clock,
    private readonly write: WriteLotRecords,
  ) {}

  /** As a sheet. @throws AppError `not-found` for a lot that is none, `rule-refused` for too many lots at once */
  async sheet(ctx: GrowerContext, query: TraceQuery): Promise<{ readonly fileName: string; readonly bytes: Buffer }> {
    const records = await this.#records(ctx, query);
    return { fileName: `lots-${records.madeAt.slice(0, 10)}.xlsx`, bytes: await this.write(records) };
  }

  /** As an EPCIS 2.0 document in JSON-LD. @throws AppError as {@link sheet} */
  async epcis(ctx: GrowerContext, query: TraceQuery): Promise<string> {
    return JSON.stringify(epcisDocument(await this.#records(ctx, query)), null, 1);
  }

  async #records(ctx: GrowerContext, query: TraceQuery): Promise<TraceRecords> {
    const { growerId } = ctx;
    const now = this.clock.now();
    return this.growerDb.read(ctx, async (tx) => {
      const { name, timeZone } = await readSettings(tx, growerId);
      const today = calendarDayAt(now.getTime(), timeZone);
      const lots = await listTraceLots(tx, growerId, scopeOf(query, today));
      if ((query.lotId ?? query.code) !== undefined && lots.length === 0) {
        throw new AppError('not-found', 'There is no such lot on this farm.');
      }
      if (lots.length > MOST_LOTS) {
        throw new AppError('rule-refused', `These are more than ${MOST_LOTS} lots: ask for fewer days at once.`);
      }
      const runIds = [...new Set(lots.flatMap(({ draws }) => draws.map(({ runId }) => runId)))];
      const harvests = await listTraceHarvests(tx, growerId, runIds);
      return { growerId, farmName: name, madeAt: now.toISOString(), lots, harvests, offsetAt: offsetsOf(timeZone) };
    });
  }
}

function scopeOf({ lotId, code, from, to }: TraceQuery, today: NonNullable<TraceQuery['to']>): TraceScope {
  if (lotId !== undefined) return { lotId };
  if (code !== undefined) return { code };
  const last = to ?? today;
  return { from: from ?? addDays(last, -YEAR_DAYS), to: last };
}

/** `+01:00` where the farm is, at a moment. One formatter serves all events: making one takes longer than using it. */
function offsetsOf(timeZone: string): (at: string) => string {
  const formatter = new Intl.DateTimeFormat('en', { timeZone, timeZoneName: 'longOffset' });
  return (at) => {
    const parts = formatter.formatToParts(new Date(at));
    const shown = parts.find(({ type }) => type === 'timeZoneName')?.value ?? 'GMT';
    return /([+-]\d{2}:\d{2})/.exec(shown)?.[1] ?? '+00:00';
  };
}
