import './ui/tokens.css';
import './ui/base.css';
import './ui/choice.css';
import './ui/drawing/board.css';
import { config } from 'zod';

// The content security policy forbids making functions from text, which zod would otherwise try for speed.
config({ jitless: true });

/** Bench and desk are two programs under one roof: a tablet at the bench never loads the desk. */
const atBench = /^\/bench(\/|$)/.test(window.location.pathname);
const program = atBench ? import('./features/bench/bench.js') : import('./app/desk.js');

program.catch(() => {
  // Without the server only the bench is kept on the device.
  if (!atBench && navigator.serviceWorker?.controller) window.location.replace('/bench');
});
