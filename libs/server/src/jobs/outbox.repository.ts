import type { JobName } from '@jarfold/contracts';
import type { GrowerTx } from '../platform/index.js';

export interface OutboxRow {
  readonly growerId: string;
  readonly id: string;
  readonly jobName: JobName;
  /** Rows that wait under one key of one grower are published as one job. */
  readonly jobKey: string;
  readonly payload: { readonly [key: string]: string | number };
  /** Not published before this long after it was written, by the database's clock. */
  readonly quietMs: number;
}

/** Writes a job in the transaction it follows from. Times are the database's, so that processes agree. */
export async function insertOutboxRow(tx: GrowerTx, row: OutboxRow): Promise<void> {
  await tx.$executeRaw`
    INSERT INTO outbox (grower_id, id, job_name, job_key, payload, created_at, run_after)
    VALUES (${row.growerId}::uuid, ${row.id}::uuid, ${row.jobName}, ${row.jobKey}, ${JSON.stringify(row.payload)}::jsonb,
            clock_timestamp(), clock_timestamp() + make_interval(secs => ${row.quietMs / 1000}))`;
}

/** Whether a new plan was asked for after a moment. */
export async function replanAsked(tx: GrowerTx, growerId: string, after: Date): Promise<boolean> {
  const row = await tx.outbox.findFirst({
    where: { growerId, jobName: 'replan' satisfies JobName, createdAt: { gt: after } },
    select: { id: true },
  });
  return row !== null;
}
