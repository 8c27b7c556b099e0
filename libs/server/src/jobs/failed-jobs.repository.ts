import type { FailedJob } from '@jarfold/contracts';
import type { GrowerTx, PlatformTx } from '../platform/index.js';

export interface FailedJobRow {
  readonly growerId: string;
  readonly id: string;
  readonly jobName: string;
  readonly jobKey: string | null;
  readonly reason: string;
  readonly attempts: number;
  readonly failedAt: Date;
  readonly retriedAt: Date | null;
}

/** What failed and was not dealt with since, newest first. */
export async function listFailedJobs(tx: GrowerTx, growerId: string): Promise<FailedJobRow[]> {
  return tx.failedJob.findMany({ where: { growerId, settledAt: null }, orderBy: { failedAt: 'desc' }, take: 200 });
}

export async function findFailedJob(tx: GrowerTx, growerId: string, id: string): Promise<FailedJobRow | null> {
  return tx.failedJob.findFirst({ where: { growerId, id, settledAt: null } });
}

export async function markRetried(tx: GrowerTx, growerId: string, id: string, retriedAt: Date): Promise<void> {
  await tx.failedJob.update({ where: { growerId_id: { growerId, id } }, data: { retriedAt } });
}

export function failedJobJson(row: FailedJobRow): FailedJob {
  const { id, jobName, reason, failedAt, attempts, retriedAt } = row;
  return {
    ...{ id, reason, attempts },
    name: jobName,
    failedAt: failedAt.toISOString(),
    retriedAt: retriedAt?.toISOString() ?? null,
  };
}

/** Keeps a job that will not be tried again by itself. Kept twice under one id, it is one row with the later reason. */
export async function keepFailedJob(
  tx: PlatformTx,
  job: Omit<FailedJobRow, 'retriedAt'> & { readonly payload: unknown },
): Promise<void> {
  const { growerId, id, payload, ...rest } = job;
  const json = JSON.parse(JSON.stringify(payload ?? null)) ?? {};
  const update = { reason: rest.reason, attempts: rest.attempts, failedAt: rest.failedAt, settledAt: null };
  await tx.failedJob.upsert({
    where: { growerId_id: { growerId, id } },
    create: { growerId, id, payload: json, ...rest },
    update,
  });
}

/** A job that did its work settles earlier failures of the same name and key: they need nobody any more. */
export async function settleFailedJobs(
  tx: PlatformTx,
  growerId: string,
  jobName: string,
  settledAt: Date,
): Promise<void> {
  await tx.failedJob.updateMany({ where: { growerId, jobName, settledAt: null }, data: { settledAt } });
}
