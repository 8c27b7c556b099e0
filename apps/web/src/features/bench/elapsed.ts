import { useEffect, useState } from 'react';

const TICK_MS = 15_000;

/** The moment now, renewed often enough for a timer that counts minutes. */
export function useNowMs(nowMs: () => number): number {
  const [now, setNow] = useState(nowMs);
  useEffect(() => {
    const timer = setInterval(() => setNow(nowMs()), TICK_MS);
    return () => clearInterval(timer);
  }, [nowMs]);
  return now;
}

/** Whole minutes between two moments, never below zero. */
export function minutesSince(fromMs: number, nowMs: number): number {
  return Math.max(0, Math.floor((nowMs - fromMs) / 60_000));
}
