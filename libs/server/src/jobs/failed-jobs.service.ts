import type { FailedJob, FailedJobList } from '@jarfold/contracts';
import { AppError, type Clock, type GrowerContext, type GrowerDb } from '../platform/index.js';
import { enqueueReplan } from './enqueue.js';
import { failedJobJson, findFailedJob, listFailedJobs, markRetried } from './failed-jobs.repository.js';

/** A farm's own jobs that failed: seen, and tried again when somebody asks. */
export class FailedJobsService {
  constructor(
    private readonly growerDb: GrowerDb,
    private readonly clock: Clock,
  ) {}

  async list(ctx: GrowerContext): Promise<FailedJobList> {
    const rows = await this.growerDb.read(ctx, (tx) => listFailedJobs(tx, ctx.growerId));
    return { items: rows.map(failedJobJson) };
  }

  /**
   * Enqueues the job's work anew. It is settled, and leaves the list, once that work was done.
   * @throws AppError `not-found`; `conflict` for a kind of job that is not tried again by hand
   */
  async retry(ctx: GrowerContext, id: string): Promise<FailedJob> {
    return this.growerDb.run(ctx, async (tx) => {
      const job = await findFailedJob(tx, ctx.growerId, id);
      if (job === null) throw new AppError('not-found', 'There is no such failed job on this farm; it may be settled.');
      if (job.jobName !== 'replan') {
        throw new AppError('conflict', `A job called ${job.jobName} cannot be tried again by hand.`);
      }
      const retriedAt = this.clock.now();
      await markRetried(tx, ctx.growerId, id, retriedAt);
      await enqueueReplan(tx, ctx, 'asked');
      return failedJobJson({ ...job, retriedAt });
    });
  }
}
