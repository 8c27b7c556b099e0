import { requireThat } from '../errors.js';
import type { DemandGrams } from './remaining-demand.js';

/** Whole containers of spawn that leave the farm: all of them, or each one that can be had down to a least share. */
export interface SpawnOrder {
  readonly jars: number;
  /** Share of the jars below which the order counts as not covered, 0 to 1. */
  readonly minShare: number;
  /** Ripe spawn in a full container of the size ordered. */
  readonly ripeGrams: number;
  /** Full containers of that size given so far. */
  readonly handedOver: number;
}

/** How an order stands in whole jars. */
export interface OrderStanding {
  /** Jars still to be given. */
  readonly left: number;
  /** Of them, those the plan's grams fill whole. */
  readonly covered: number;
  /** Of them, those that must be given for the order to count as covered. */
  readonly least: number;
}

/** A difference of this share of one jar is how a jar was filled and weighed, not a part of a jar. Our own value. */
const SHARE_OF_A_JAR = 0.1;

/**
 * Grams of ripe spawn an order still asks for: whole jars at what a full one of its size holds now, never more of them
 * than were ordered. Jars that were given count as jars, however full they were.
 * @throws DomainError for a count that is not whole and above 0, or a size that holds nothing
 * @example orderDemand({ jars: 10, minShare: 1, ripeGrams: 600, handedOver: 4 }).targetGrams // 3600
 */
export function orderDemand(order: SpawnOrder): DemandGrams {
  const { least, left } = jarsLeft(order);
  return {
    minGrams: least * order.ripeGrams,
    targetGrams: left * order.ripeGrams,
    maxGrams: left * order.ripeGrams,
  };
}

/**
 * How an order stands when a plan gives it so many grams. A part of a jar covers nothing: a jar leaves the farm whole.
 * @param coveredGrams grams the plan takes to it, at least 0
 */
export function orderStanding(order: SpawnOrder, coveredGrams: number): OrderStanding {
  const { least, left } = jarsLeft(order);
  const whole = Math.floor(coveredGrams / order.ripeGrams + SHARE_OF_A_JAR);
  return { left, least, covered: Math.min(left, Math.max(0, whole)) };
}

/** Jars to take in hand for so many planned grams: of a jar that is needed in part, the whole jar. */
export function jarsInHand(grams: number, ripeGrams: number): number {
  requireThat(ripeGrams > 0, 'empty-size', `A full container holds more than 0 g, not ${ripeGrams}.`);
  return Math.max(0, Math.ceil(grams / ripeGrams - SHARE_OF_A_JAR));
}

function jarsLeft({ jars, minShare, ripeGrams, handedOver }: SpawnOrder): { least: number; left: number } {
  requireThat(
    Number.isInteger(jars) && jars > 0,
    'no-jars-ordered',
    `An order is for a whole number of jars, not ${jars}.`,
  );
  requireThat(ripeGrams > 0, 'empty-size', `A full container holds more than 0 g, not ${ripeGrams}.`);
  // Shares are typed in per cent: 0.7 of 10 jars is 7, not 8 by the last binary digit.
  const least = Math.ceil(jars * minShare - 1e-9);
  return { least: Math.max(0, least - handedOver), left: Math.max(0, jars - handedOver) };
}
