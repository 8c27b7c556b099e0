import type { StrainField } from './strain-field.js';

/** Which of several mothers is opened for an inoculation. */
export const FIRST_TO_EXPIRE = 0;
export const FRESHEST = 1;
export const SMALLEST = 2;
export const MOTHER_ORDERS = 3;

/**
 * How one strain's containers are handed out: the decisions, besides the starts, that a search changes. None is best for
 * every farm.
 */
export interface Handling {
  /** Wishes in the order served: way × 2, +1 for the part above the minimum. */
  readonly serving: Int32Array;
  /**
   * By slot × (last generation + 1) + generation of the child: order + {@link MOTHER_ORDERS} when the mother may be opened
   * some days early, for a run that takes the rest of it.
   */
  readonly mothers: Uint8Array;
  /** By run way: 1 when the freshest is opened first, not the first to expire. */
  readonly freshFirst: Uint8Array;
  /** By lot: when it is chilled, see opening-paths.ts. */
  readonly chilling: Uint8Array;
  /** By lot: containers that runs leave, so that the mother reserve is kept in what suits it, not in what is left over. */
  readonly keptBack: Uint8Array;
}

export function plainHandling(field: StrainField): Handling {
  const { ways, slots, strain, lots } = field;
  return {
    serving: defaultServing(field),
    mothers: new Uint8Array(slots.length * (strain.lastGeneration + 1)),
    freshFirst: new Uint8Array(ways.length),
    chilling: new Uint8Array(lots.length),
    keptBack: new Uint8Array(lots.length),
  };
}

/** Minimum wishes by day, then target wishes by day. */
function defaultServing({ ways }: StrainField): Int32Array {
  const places = ways.map((_, place) => place).sort((one, other) => ways[one]!.day - ways[other]!.day || one - other);
  return Int32Array.from([...places.map((place) => place * 2), ...places.map((place) => place * 2 + 1)]);
}

export function copyHandling(handling: Handling): Handling {
  return {
    serving: handling.serving.slice(),
    mothers: handling.mothers.slice(),
    freshFirst: handling.freshFirst.slice(),
    chilling: handling.chilling.slice(),
    keptBack: handling.keptBack.slice(),
  };
}

export function setHandling(to: Handling, from: Handling): void {
  to.serving.set(from.serving);
  to.mothers.set(from.mothers);
  to.freshFirst.set(from.freshFirst);
  to.chilling.set(from.chilling);
  to.keptBack.set(from.keptBack);
}
