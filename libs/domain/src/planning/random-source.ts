/** Numbers from 0 to below 1; the caller brings them, seeded. */
export type RandomSource = () => number;
