import type { QueryClient, QueryKey } from '@tanstack/react-query';

/**
 * Answers the desk keeps, after something changed. A question that was put before the change may still be under way, and
 * its answer would pass for the state after it: it is dropped first. The library itself drops it only where an earlier
 * answer is kept already, so on a screen that was just opened a new file, say, would not have shown until it was left.
 */

/** Has what is kept under a name, and under names that begin with it, asked for anew by whoever shows it. */
export async function askAnew(client: QueryClient, queryKey: QueryKey, exact = false): Promise<void> {
  await client.cancelQueries({ queryKey, exact });
  await client.invalidateQueries({ queryKey, exact });
}

/** Keeps what a change itself answered in place of what was kept under this name. */
export async function keepAnswer(client: QueryClient, queryKey: QueryKey, answer: unknown): Promise<void> {
  await client.cancelQueries({ queryKey, exact: true });
  client.setQueryData(queryKey, answer);
}
