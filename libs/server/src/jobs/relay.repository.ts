import { type JobName, jobPayloads } from '@jarfold/contracts';
import type { PlatformTx } from '../platform/index.js';

/** Outbox rows of one grower, name and key: they become one job. */
export interface DueGroup {
  readonly growerId: string;
  readonly jobName: string;
  /** Oldest first. */
  readonly ids: readonly string[];
  /** What the newest of them says. */
  readonly payload: unknown;
}

const MOST_GROUPS = 200;

/**
 * Groups that are due: quiet for as long as their newest row asks, or waiting too long already. The read takes no lock;
 * two relays that publish the same group give the job the same id, and the queue keeps one.
 */
export async function dueGroups(tx: PlatformTx, latestMs: number): Promise<DueGroup[]> {
  return tx.$queryRaw<DueGroup[]>`
    SELECT grower_id AS "growerId", job_name AS "jobName", array_agg(id::text ORDER BY created_at, id) AS ids,
           (array_agg(payload ORDER BY created_at DESC, id DESC))[1] AS payload
      FROM outbox WHERE published_at IS NULL
     GROUP BY grower_id, job_name, job_key
    HAVING max(run_after) <= clock_timestamp()
        OR min(created_at) <= clock_timestamp() - make_interval(secs => ${latestMs / 1000})
     ORDER BY min(created_at) LIMIT ${MOST_GROUPS}`;
}

export async function markPublished(tx: PlatformTx, group: DueGroup, note: string | null): Promise<void> {
  await tx.$executeRaw`
    UPDATE outbox SET published_at = clock_timestamp(), attempts = attempts + 1, last_error = ${note}
     WHERE grower_id = ${group.growerId}::uuid AND id::text = ANY (${[...group.ids]}) AND published_at IS NULL`;
}

/** Marks what asks for a plan as answered, when whoever asked has made that plan itself. */
export async function settleReplans(tx: PlatformTx, growerId: string, note: string): Promise<void> {
  await tx.$executeRaw`
    UPDATE outbox SET published_at = clock_timestamp(), last_error = ${note}
     WHERE grower_id = ${growerId}::uuid AND job_name = ${'replan' satisfies JobName} AND published_at IS NULL`;
}

export async function noteFailure(tx: PlatformTx, group: DueGroup, error: string): Promise<void> {
  await tx.$executeRaw`
    UPDATE outbox SET attempts = attempts + 1, last_error = ${error}
     WHERE grower_id = ${group.growerId}::uuid AND id::text = ANY (${[...group.ids]})`;
}

/** Published rows older than this say nothing any more: whether a plan answers them is long settled. */
export async function forgetPublished(tx: PlatformTx, olderThanDays: number): Promise<number> {
  return tx.$executeRaw`
    DELETE FROM outbox WHERE published_at < clock_timestamp() - make_interval(days => ${olderThanDays})`;
}

/** Every grower with its time zone: who is planned for each night, and when night is. */
export async function listGrowerZones(tx: PlatformTx): Promise<{ readonly id: string; readonly timeZone: string }[]> {
  return tx.grower.findMany({ select: { id: true, timeZone: true }, orderBy: { id: 'asc' } });
}

/** Whether a name and payload make a job of ours for this grower; otherwise what is wrong, in one sentence. */
export function jobFault({ growerId, jobName, payload }: Omit<DueGroup, 'ids'>): string | null {
  if (!Object.hasOwn(jobPayloads, jobName)) return `There is no job called "${jobName}".`;
  const parsed = jobPayloads[jobName as JobName].safeParse(payload);
  if (!parsed.success) {
    const problems = parsed.error.issues.map((issue) => `${issue.path.join('.') || 'payload'}: ${issue.message}`);
    return `The payload of job ${jobName} does not fit its contract: ${problems.join('; ')}`;
  }
  return parsed.data.growerId === growerId ? null : `The payload of job ${jobName} names another grower than its row.`;
}
