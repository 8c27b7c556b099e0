/** So many farms ask again within a while on one service; what is kept of a large one is some hundred kilobytes. */
const MOST_FARMS = 16;

/**
 * What was worked out last for each of the farms that asked last, together with a name for all that it depends on: asked
 * under another name it is not there.
 */
export class KeptByFarm<Thing> {
  readonly #byFarm = new Map<string, { readonly of: string; readonly thing: Thing }>();

  /** @param of names all that the thing depends on */
  find(growerId: string, of: string): Thing | undefined {
    const kept = this.#byFarm.get(growerId);
    if (kept === undefined || kept.of !== of) return undefined;
    this.keep(growerId, of, kept.thing);
    return kept.thing;
  }

  keep(growerId: string, of: string, thing: Thing): void {
    // Put behind the others: the farm that did not ask for longest goes first.
    this.#byFarm.delete(growerId);
    this.#byFarm.set(growerId, { of, thing });
    const [oldest] = this.#byFarm.keys();
    if (this.#byFarm.size > MOST_FARMS && oldest !== undefined) this.#byFarm.delete(oldest);
  }

  /** Forgets a thing that turned out to be no good; another that has taken its place stays. */
  drop(growerId: string, thing: Thing): void {
    if (this.#byFarm.get(growerId)?.thing === thing) this.#byFarm.delete(growerId);
  }
}
