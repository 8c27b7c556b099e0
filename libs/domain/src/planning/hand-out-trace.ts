/** What a hand-out does, told while it is asked for. */
export interface HandOutTrace {
  /** Grams from an opened group to a run's way (place in the field's ways). */
  toRun(group: number, way: number, grams: number): void;
  /** Grams from an opened group to the starts of a generation on a slot. */
  toStart(group: number, slot: number, generation: number, grams: number): void;
  /** Culture ordered for a slot. */
  ordered(slot: number, units: number): void;
  /** A mother put into the cold that nobody opens. */
  kept(lot: number, chillDay: number): void;
  /** Mothers missing from the reserve, by place in the reserve days. */
  missing(place: number, count: number): void;
}

/** What the parts of a hand-out share: the money so far, and who listens. */
export class HandOutTally {
  sum = 0;
  trace: HandOutTrace | null = null;
}
