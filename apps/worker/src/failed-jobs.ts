import { createHash } from 'node:crypto';
import { type JobName, jobPayloads } from '@jarfold/contracts';
import { keepFailedJob, settleFailedJobs } from '@jarfold/server';
import type { Clock, Log, PlatformDb, Queues } from '@jarfold/server/platform';
import type { Job } from 'bullmq';

const UUID = /^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$/i;

/**
 * Moves jobs that will not be tried again by themselves from the queue into the farm's own table, where its people see
 * them and can have them tried again.
 */
export class FailedJobs {
  constructor(
    private readonly platformDb: PlatformDb,
    private readonly queues: Queues,
    private readonly clock: Clock,
    private readonly log: Log,
  ) {}

  /** Keeps a job once its last try failed. */
  async onFailed(job: Job | undefined, error: Error): Promise<void> {
    if (job === undefined) return;
    this.log.warn('job-failed', { job: job.name, jobId: job.id, attempts: job.attemptsMade, error });
    if (await job.isFailed()) await this.keep(job);
  }

  /** A job that did its work: earlier failures of the same kind need nobody any more. */
  async onDone(job: Job): Promise<void> {
    const growerId = growerOf(job);
    if (growerId === null) return;
    await this.platformDb.run((tx) => settleFailedJobs(tx, growerId, job.name, this.clock.now()));
  }

  /** Jobs that failed while nobody could write them down, such as those of a worker that was killed. */
  async collectLeftovers(): Promise<void> {
    for (const name of Object.keys(jobPayloads) as JobName[]) {
      for (const job of await this.queues.queue(name).getFailed()) await this.keep(job as Job);
    }
  }

  private async keep(job: Job): Promise<void> {
    const growerId = growerOf(job);
    if (growerId === null) {
      // It stays in the queue's own list of failed jobs: it belongs to no farm that could see it.
      this.log.error('job-of-no-grower', { job: job.name, jobId: job.id, reason: job.failedReason });
      return;
    }
    try {
      await this.platformDb.run((tx) =>
        keepFailedJob(tx, {
          growerId,
          id: failedIdOf(job),
          jobName: job.name,
          jobKey: null,
          payload: job.data,
          reason: job.failedReason ?? 'No reason was given.',
          attempts: Math.max(1, job.attemptsMade),
          failedAt: new Date(job.finishedOn ?? this.clock.now().getTime()),
        }),
      );
      await job.remove();
    } catch (error) {
      this.log.error('failed-job-not-kept', { job: job.name, jobId: job.id, error });
    }
  }
}

function growerOf({ data }: Job): string | null {
  const growerId = (data as { growerId?: unknown } | null)?.growerId;
  return typeof growerId === 'string' && UUID.test(growerId) ? growerId : null;
}

/** A job that came through the outbox has the id of its row; a scheduled one gets a stable id of its own. */
function failedIdOf(job: Job): string {
  if (job.id !== undefined && UUID.test(job.id)) return job.id;
  const hex = createHash('sha256').update(`${job.name} ${job.id} ${job.timestamp}`).digest('hex');
  return [hex.slice(0, 8), hex.slice(8, 12), `8${hex.slice(13, 16)}`, `8${hex.slice(17, 20)}`, hex.slice(20, 32)].join(
    '-',
  );
}
