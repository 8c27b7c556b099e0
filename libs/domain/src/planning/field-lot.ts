import type { AcceptedContainer } from './accepted-situation.js';

/** Containers of one strain that are alike in all a plan can see: on hand, or started on one bench day. */
export interface Lot {
  readonly generation: number;
  readonly size: number;
  readonly gramsEach: number;
  readonly motherOnly: boolean;
  readonly isMother: boolean;
  /** In the cold on the planning day. */
  readonly inCold: boolean;
  /** First and last day it can be opened where it stands. */
  readonly from: number;
  readonly until: number;
  /** Days on which it may be put into the cold. */
  readonly chillDays: readonly number[];
  /** Those on hand, by code; empty for a start. */
  readonly onHand: readonly AcceptedContainer[];
  /** Place in the list of the strain's start options, or null for stock. */
  readonly option: number | null;
}
