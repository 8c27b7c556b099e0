import type { JobName } from '@jarfold/contracts';
import {
  type DueGroup,
  dueGroups,
  jobFault,
  keepFailedJob,
  markPublished,
  noteFailure,
  REPLAN_LATEST_MS,
} from '@jarfold/server';
import type { Clock, Log, PlatformDb, Queues } from '@jarfold/server/platform';

/** A queue that does not answer must not stop the relay for good: the rows stay and are tried again. */
const PUBLISH_LIMIT_MS = 10_000;

/**
 * Publishes what waits in the outbox. A row is marked only after its job is in the queue, so a crash in between
 * publishes it again, under the same job id; whatever still runs twice is safe to run twice.
 */
export class OutboxRelay {
  constructor(
    private readonly platformDb: PlatformDb,
    private readonly queues: Queues,
    private readonly clock: Clock,
    private readonly log: Log,
  ) {}

  /** Publishes everything that is due. @returns how many jobs were published */
  async relay(): Promise<number> {
    const groups = await this.platformDb.run((tx) => dueGroups(tx, REPLAN_LATEST_MS));
    let published = 0;
    for (const group of groups) {
      if (await this.publish(group)) published += 1;
    }
    return published;
  }

  private async publish(group: DueGroup): Promise<boolean> {
    const fault = jobFault(group);
    if (fault !== null) {
      await this.setAside(group, fault);
      return false;
    }
    try {
      const jobId = group.ids.at(-1)!;
      const name = group.jobName as JobName;
      await within(PUBLISH_LIMIT_MS, this.queues.queue(name).add(name, group.payload, { jobId }));
      await this.platformDb.run((tx) => markPublished(tx, group, null));
      return true;
    } catch (error) {
      this.log.warn('outbox-publish-failed', { growerId: group.growerId, job: group.jobName, error });
      const sentence = error instanceof Error ? error.message : String(error);
      await this.platformDb.run((tx) => noteFailure(tx, group, sentence));
      return false;
    }
  }

  /** A row that is no job of ours will never become one: it is shown among the farm's failed jobs. */
  private async setAside(group: DueGroup, reason: string): Promise<void> {
    this.log.error('outbox-row-refused', { growerId: group.growerId, job: group.jobName, reason });
    const { growerId, jobName, payload } = group;
    await this.platformDb.run(async (tx) => {
      const failed = { growerId, id: group.ids.at(-1)!, jobName, jobKey: null, payload, reason, attempts: 1 };
      await keepFailedJob(tx, { ...failed, failedAt: this.clock.now() });
      await markPublished(tx, group, reason);
    });
  }
}

async function within<T>(limitMs: number, work: Promise<T>): Promise<T> {
  let timer: NodeJS.Timeout | undefined;
  const late = new Promise<never>((_, reject) => {
    timer = setTimeout(() => reject(new Error(`The queue did not answer within ${limitMs} ms.`)), limitMs);
  });
  return Promise.race([work, late]).finally(() => clearTimeout(timer));
}
