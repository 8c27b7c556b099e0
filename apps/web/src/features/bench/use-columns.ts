import { type RefObject, useLayoutEffect, useRef, useState } from 'react';

/** Jars are drawn as wide as a target must be, and a gap. */
const JAR_PX = 118 + 4;

/**
 * How many of `count` places to draw beside each other so that each stays a full target and the lines of a row come out
 * equally long: ten places on a screen for nine become two lines of five.
 */
export function evenColumns(count: number, widthPx: number): number {
  const fit = Math.max(1, Math.floor(widthPx / JAR_PX));
  return Math.ceil(count / Math.ceil(count / fit));
}

export function useWidth(): [RefObject<HTMLDivElement | null>, number] {
  const element = useRef<HTMLDivElement>(null);
  const [widthPx, setWidthPx] = useState(0);
  useLayoutEffect(() => {
    const here = element.current;
    if (!here) return;
    setWidthPx(here.clientWidth);
    const watcher = new ResizeObserver(() => setWidthPx(here.clientWidth));
    watcher.observe(here);
    return () => watcher.disconnect();
  }, []);
  return [element, widthPx];
}
