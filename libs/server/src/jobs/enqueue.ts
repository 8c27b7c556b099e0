import { randomUUID } from 'node:crypto';
import { jobPayloads, type ReplanReason } from '@jarfold/contracts';
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

/** Hands an old spreadsheet to the worker, in the transaction in which somebody said yes to it. */
export async function enqueueOldSheets(
  tx: GrowerTx,
  { growerId }: { readonly growerId: string },
  importId: string,
): Promise<void> {
  const payload = jobPayloads['old-sheets'].parse({ version: 1, growerId, importId });
  const id = randomUUID();
  await insertOutboxRow(tx, {
    growerId,
    id,
    jobName: 'old-sheets',
    jobKey: `old-sheets-${importId}`,
    payload,
    quietMs: 0,
  });
}
