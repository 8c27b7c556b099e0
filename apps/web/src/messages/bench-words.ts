import { bench } from './bench.js';
import { shared } from './shared.js';
import { speak } from './translate.js';

/** Imported first by the bench, for its effect: what a tablet shows, and nothing of the desk. */
export const benchWords = { ...shared, ...bench } as const;

speak(benchWords);
