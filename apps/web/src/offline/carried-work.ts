import type { KeptBench } from './kept-bench.js';
import type { NewEntries } from './new-entry.js';
import type { TabletClock } from './tablet-clock.js';
import { readUnsentFile, type UnsentFileFault, writeUnsentFile } from './unsent-file.js';

export type ImportAnswer =
  | { readonly outcome: 'taken'; readonly taken: number; readonly known: number }
  | { readonly outcome: 'refused'; readonly fault: UnsentFileFault };

/** Work not sent yet, as the file another tablet of the farm takes. */
export function workToCarry(kept: KeptBench, clock: TabletClock): string {
  return writeUnsentFile(kept.own, {
    growerId: growerOf(kept),
    deviceId: kept.device?.id ?? '',
    savedAt: clock.tabletInstant(),
  });
}

/** Keeps the entries of such a file. One that is here already is left as it is. */
export async function takeCarriedWork(kept: KeptBench, newEntries: NewEntries, text: string): Promise<ImportAnswer> {
  const read = readUnsentFile(text, growerOf(kept));
  if ('fault' in read) return { outcome: 'refused', fault: read.fault };
  const here = new Set(kept.own.map(({ id }) => id));
  const entries = read.entries.filter(({ id }) => !here.has(id)).map((carried) => newEntries.carried(carried));
  if (entries.length > 0) await kept.append(entries);
  kept.layOn();
  return { outcome: 'taken', taken: entries.length, known: read.entries.length - entries.length };
}

function growerOf(kept: KeptBench): string {
  return kept.view.farm?.farm.growerId ?? '';
}
