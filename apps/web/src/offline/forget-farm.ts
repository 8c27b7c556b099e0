import { IdbStore } from './idb-store.js';
import { TabletRecord } from './tablet-record.js';

/**
 * Clears the copy of the farm from this browser, as on signing out; work that was not sent yet stays. Safe to call
 * where no bench was ever opened.
 */
export async function forgetFarmCopy(): Promise<void> {
  const record = await TabletRecord.open();
  const growerId = await record.get('growerId');
  await record.set('person', null);
  if (growerId === null) return;
  const store = await IdbStore.open(growerId);
  await store.commit({ farm: null, cursor: null, clearThings: true });
  await store.dropAnsweredEntries();
}
