/** The value so far up in ascending numbers: 0.5 is the median, 0.95 the one that one in twenty exceeds. */
export const atRank = (sorted, share) => sorted[Math.min(sorted.length - 1, Math.floor(sorted.length * share))];
