/** An entry a page said is saved. */
export interface ToldEntry {
  readonly id: string;
  readonly sequence: number;
}

/**
 * Runs in the page: whenever its words say that something is saved or taken back, tells which entries it had put into its
 * database by then. What it puts is seen where it asks for it, so a page that says "saved" too soon is believed.
 */
export function tellWhatIsSaved(): void {
  const put = IDBObjectStore.prototype.put;
  let untold: { id: string; sequence: number }[] = [];
  IDBObjectStore.prototype.put = function (value: { id: string; sequence: number; state?: string }, key?: IDBValidKey) {
    if (this.name === 'own' && value.state === 'unsent') untold.push({ id: value.id, sequence: value.sequence });
    return key === undefined ? put.call(this, value) : put.call(this, value, key);
  };
  const tell = () => {
    const words = document.querySelector('.last-words')?.textContent ?? '';
    if (words === '' || untold.length === 0) return;
    const told = untold;
    untold = [];
    if (!/^(Saved at|Taken back)/.test(words)) return;
    (window as unknown as { jarfoldTold(entries: unknown): void }).jarfoldTold(told);
  };
  new MutationObserver(tell).observe(document, { subtree: true, childList: true, characterData: true });
}

/**
 * A planted defect, for the page: what goes into the tablet's own work is said to be stored at once and written half a
 * second later.
 */
export const SAVED_TOO_SOON = `
  const put = IDBObjectStore.prototype.put;
  IDBObjectStore.prototype.put = function (value, key) {
    if (this.name !== 'own' || value.state !== 'unsent') return key === undefined ? put.call(this, value) : put.call(this, value, key);
    const database = this.transaction.db;
    setTimeout(() => put.call(database.transaction('own', 'readwrite').objectStore('own'), value), 500);
    return this.get(value.id);
  };
`;
