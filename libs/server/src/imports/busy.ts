import { sqlState } from '../platform/index.js';

/** What a tablet may do in between: give the same code, hold the log for longer, or wait for each other. */
const WORTH_ANOTHER_TRY = new Set(['23505', '55P03', '40P01']);

/** Whether the same work, done again at once, may well succeed. */
export function isBusy(error: unknown): boolean {
  const state =
    sqlState(error) ?? (error instanceof Error && error.cause !== undefined ? (sqlState(error.cause) ?? '') : '');
  return WORTH_ANOTHER_TRY.has(state);
}
