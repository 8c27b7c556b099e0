import { en } from './en.js';
import { speak } from './translate.js';

/** Imported first by the desk, for its effect: the desk shows everything. */
speak(en);
