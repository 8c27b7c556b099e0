import { useCallback, useLayoutEffect, useRef } from 'react';

/**
 * One function for as long as the screen stands, that does what the latest drawing meant: what it is given to need not be
 * drawn anew for its sake.
 */
export function useSteady<A extends readonly unknown[]>(latest: (...given: A) => void): (...given: A) => void {
  const held = useRef(latest);
  useLayoutEffect(() => {
    held.current = latest;
  });
  return useCallback((...given: A) => held.current(...given), []);
}
