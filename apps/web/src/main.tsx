import './ui/tokens.css';
import './ui/base.css';
import './ui/choice.css';
import './ui/drawing/board.css';
import { config } from 'zod';

// The content security policy forbids making functions from text, which zod would otherwise try for speed.
config({ jitless: true });

/** Bench and desk are two programs under one roof: a tablet at the bench never loads the desk. */
if (/^\/bench(\/|$)/.test(window.location.pathname)) void import('./features/bench/bench.js');
else void openDesk();

async function openDesk(): Promise<void> {
  try {
    await import('./app/desk.js');
  } catch {
    // Without the server only the bench is kept on the device.
    if (navigator.serviceWorker?.controller) window.location.replace('/bench');
  }
}
