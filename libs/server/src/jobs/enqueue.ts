import { randomUUID } from 'node:crypto';
import { type JobName, jobPayloads, type ReplanReason } from '@jarfold/contracts';
import type { GrowerTx } from '../platform/index.js';
import { insertOutboxRow } from './outbox.repository.js';

/**
 * Bench entries arrive in bursts: a plan is made when the bench has been quiet for this long. The relay puts a replan
 * off again while newer requests come in, at most until {@link REPLAN_LATEST_MS} after the first.
 */
const QUIET_MS: Readonly<Record<ReplanReason, number>> = {
  'bench-entries': 20_000,
  'farm-changed': 2_000,
  'run-changed': 0,
  asked: 0,
  nightly: 0,
};

/** However busy the bench, a plan is never older than this behind the facts. */
export const REPLAN_LATEST_MS = 120_000;

/**
 * Asks for a new plan in the transaction the facts change in: either both happen or neither. Call it as often as
 * facts change; requests that wait are answered by one plan.
 */
export async function enqueueReplan(
  tx: GrowerTx,
  ctx: { readonly growerId: string },
  reason: ReplanReason,
): Promise<void> {
  const payload = jobPayloads.replan.parse({ version: 1, growerId: ctx.growerId, reason });
  await insertOutboxRow(tx, {
    growerId: ctx.growerId,
    id: randomUUID(),
    jobName: 'replan',
    // A burst at the bench is waited out under a key of its own: it must not put off what a person is waiting for.
    jobKey: QUIET_MS[reason] > 0 ? `replan-${reason}` : 'replan',
    payload,
    quietMs: QUIET_MS[reason],
  });
}

/** A worker that fell silent over a file is looked after this often; below what the relay waits for at most. */
const LOOK_AGAIN_MS = 90_000;

/**
 * Hands a file to the worker, in the transaction in which somebody said yes to it; and has it looked at again later, in
 * case the worker that takes it is never heard of again.
 */
export async function enqueueFileImport(tx: GrowerTx, { growerId }: OfGrower, importId: string): Promise<void> {
  const payload = jobPayloads['file-import'].parse({ version: 1, growerId, importId });
  await insertOutboxRow(tx, { ...row(growerId, 'file-import', importId), payload, quietMs: 0 });
  await lookAgainAtImport(tx, { growerId }, importId);
}

/** Has a file that another worker is at looked at again. */
export async function lookAgainAtImport(tx: GrowerTx, { growerId }: OfGrower, importId: string): Promise<void> {
  const payload = jobPayloads['file-import'].parse({ version: 1, growerId, importId });
  await insertOutboxRow(tx, { ...row(growerId, 'file-import', `${importId}-again`), payload, quietMs: LOOK_AGAIN_MS });
}

/** Has a file made, in the transaction in which somebody asked for it; and looked at again later. */
export async function enqueueFileExport(tx: GrowerTx, { growerId }: OfGrower, exportId: string): Promise<void> {
  const payload = jobPayloads['file-export'].parse({ version: 1, growerId, exportId });
  await insertOutboxRow(tx, { ...row(growerId, 'file-export', exportId), payload, quietMs: 0 });
  await lookAgainAtExport(tx, { growerId }, exportId);
}

/** Has a file that another worker is making looked at again. */
export async function lookAgainAtExport(tx: GrowerTx, { growerId }: OfGrower, exportId: string): Promise<void> {
  const payload = jobPayloads['file-export'].parse({ version: 1, growerId, exportId });
  await insertOutboxRow(tx, { ...row(growerId, 'file-export', `${exportId}-again`), payload, quietMs: LOOK_AGAIN_MS });
}

interface OfGrower {
  readonly growerId: string;
}

const row = (growerId: string, jobName: JobName, of: string) => ({
  ...{ growerId, id: randomUUID(), jobName, jobKey: `${jobName}-${of}` },
});
