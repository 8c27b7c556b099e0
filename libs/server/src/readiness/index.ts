export { whyNotReady } from './why-not-ready.js';
