import { setTimeout as sleep } from 'node:timers/promises';

/** Waits until a condition holds, looking every 50 ms; fails with its name when the time is up. */
export async function until(what: string, holds: () => boolean | Promise<boolean>, limitMs = 20_000): Promise<void> {
  const deadline = Date.now() + limitMs;
  while (!(await holds())) {
    if (Date.now() > deadline) throw new Error(`Waited ${limitMs} ms in vain for ${what}.`);
    await sleep(50);
  }
}
