import { createHash } from 'node:crypto';
import { type JobPayload, jobPayloads } from '@jarfold/contracts';
import { listGrowerZones } from '@jarfold/server';
import type { Log, PlatformDb, Queues } from '@jarfold/server/platform';

/** The hour after the night's plan was made, so that the workbook tells the newest one. */
const HOUR = 5;
const PREFIX = 'weekly-workbook-';

/**
 * Looks at every farm each morning in its own zone; the service makes a workbook only where the week has none yet. So a
 * worker that was down when a week began makes up for it the next morning, and every farm's week may begin on its own
 * weekday.
 */
export function workbookSchedule({ id, timeZone }: { readonly id: string; readonly timeZone: string }) {
  const minute = createHash('sha256').update(`workbook ${id}`).digest().readUInt16BE(0) % 60;
  return { schedulerId: `${PREFIX}${id}`, growerId: id, pattern: `${minute} ${HOUR} * * *`, timeZone };
}

export class WeeklySchedules {
  constructor(
    private readonly platformDb: PlatformDb,
    private readonly queues: Queues,
    private readonly log: Log,
  ) {}

  /** Safe to do at any time and in several workers at once. */
  async keepInStep(): Promise<void> {
    const queue = this.queues.queue('weekly-workbook');
    const growers = await this.platformDb.run((tx) => listGrowerZones(tx));
    const standing = new Map((await queue.getJobSchedulers(0, -1)).map((each) => [each.key, each]));
    const wanted = growers.map(workbookSchedule);
    for (const schedule of wanted) {
      const known = standing.get(schedule.schedulerId);
      // One that stands as it should is left alone: setting it again would drop a run that is due this moment.
      if (known?.pattern !== schedule.pattern || known.tz !== schedule.timeZone) await this.set(schedule);
    }
    const ids = new Set(wanted.map(({ schedulerId }) => schedulerId));
    for (const key of standing.keys()) {
      if (key.startsWith(PREFIX) && !ids.has(key)) await queue.removeJobScheduler(key);
    }
  }

  /** One farm's zone that this machine does not know must not cost the others their week. */
  private async set({ schedulerId, growerId, pattern, timeZone }: ReturnType<typeof workbookSchedule>): Promise<void> {
    const data: JobPayload<'weekly-workbook'> = jobPayloads['weekly-workbook'].parse({ version: 1, growerId });
    try {
      const job = { name: 'weekly-workbook', data };
      await this.queues.queue('weekly-workbook').upsertJobScheduler(schedulerId, { pattern, tz: timeZone }, job);
    } catch (error) {
      this.log.error('weekly-schedule-refused', { growerId, timeZone, error });
    }
  }
}
