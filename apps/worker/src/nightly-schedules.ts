import { type JobPayload, jobPayloads } from '@jarfold/contracts';
import { listGrowerZones } from '@jarfold/server';
import type { Log, PlatformDb, Queues } from '@jarfold/server/platform';
import { type NightlySchedule, type StandingSchedule, scheduleChanges } from './nightly.js';

/** Keeps one nightly replan per grower, in step with the growers there are and the zones they live in. */
export class NightlySchedules {
  constructor(
    private readonly platformDb: PlatformDb,
    private readonly queues: Queues,
    private readonly log: Log,
  ) {}

  /** Safe to do at any time and in several workers at once. */
  async keepInStep(): Promise<void> {
    const growers = await this.platformDb.run((tx) => listGrowerZones(tx));
    const { set, remove } = scheduleChanges(growers, await this.standing());
    for (const schedule of set) await this.set(schedule);
    for (const schedulerId of remove) await this.queues.queue('replan').removeJobScheduler(schedulerId);
    if (set.length + remove.length > 0) {
      this.log.info('nightly-schedules-changed', { set: set.length, removed: remove.length });
    }
  }

  /** One farm's zone that this machine does not know must not cost the others their night. */
  private async set({ schedulerId, growerId, pattern, timeZone }: NightlySchedule): Promise<void> {
    const data: JobPayload<'replan'> = jobPayloads.replan.parse({ version: 1, growerId, reason: 'nightly' });
    try {
      const repeat = { pattern, tz: timeZone };
      await this.queues.queue('replan').upsertJobScheduler(schedulerId, repeat, { name: 'replan', data });
    } catch (error) {
      this.log.error('nightly-schedule-refused', { growerId, timeZone, error });
    }
  }

  private async standing(): Promise<StandingSchedule[]> {
    const schedulers = await this.queues.queue('replan').getJobSchedulers(0, -1);
    return schedulers.map(({ key, pattern, tz }) => ({ schedulerId: key, pattern, timeZone: tz }));
  }
}
