/** A scanner types far faster than hands: at most this long between two keys. Measured on none; a common default is 30. */
const FASTEST_HAND_MS = 45;
const SHORTEST_CODE = 3;

/**
 * Tells a scanner that acts as a keyboard from a person typing: a burst of printable keys that ends in Enter. Feed it
 * every key; it answers the code when one has come in.
 */
export class ScannerKeys {
  #keys = '';
  #lastMs = -Infinity;

  key(key: string, atMs: number): string | null {
    const fast = atMs - this.#lastMs <= FASTEST_HAND_MS;
    this.#lastMs = atMs;
    if (key === 'Enter') {
      const code = fast && this.#keys.length >= SHORTEST_CODE ? this.#keys : null;
      this.#keys = '';
      return code;
    }
    if (key.length !== 1) return null; // Shift and its like come between the letters of a code
    this.#keys = fast ? this.#keys + key : key;
    return null;
  }
}

/** The code on a label: some labels carry an address with the code behind its last hash or slash-less query. */
export function codeOnLabel(text: string): string {
  const hash = text.lastIndexOf('#');
  return (hash >= 0 ? decodeURIComponent(text.slice(hash + 1)) : text).trim().toUpperCase();
}
