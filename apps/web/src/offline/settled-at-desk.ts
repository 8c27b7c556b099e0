import type { BenchCore } from './bench-core.js';

/**
 * Puts away what a lead has settled at the desk meanwhile: it needs no look on this tablet any more.
 * @param stillRefused - asks the server which entries are refused and unsettled; null when that is not known, and all stays.
 */
export async function putAwaySettled(
  core: Pick<BenchCore, 'status' | 'putAway'>,
  stillRefused: () => Promise<ReadonlySet<string> | null>,
): Promise<void> {
  // Only what stood here before the list was made: an entry refused while it is on its way is missing from it as well.
  const before = core.status().needsLook.filter(({ state }) => state === 'refused');
  if (before.length === 0) return;
  const open = await stillRefused();
  if (open === null) return;
  for (const { id } of before) if (!open.has(id)) await core.putAway(id);
}
