/**
 * How far below its target a run still counts as covered, and how much more than its target is ever put in, as shares
 * of the target. Oyster yields best at 3.75 to 5 % of wet mass (Royse 2002), so four fifths of a 5 % target is still
 * inside the good range; a tenth more costs spawn without gain. Starting values a farm can change run by run.
 */
export const usualRunShares = { minShare: 0.8, maxShare: 1.1 } as const;
