import { useEffect, useState } from 'react';
import type { BenchCore, BenchStatus } from '../../offline/index.js';

/**
 * How the tablet's work stands now. Kept as plain state on purpose: `useSyncExternalStore` would draw the whole screen
 * by itself at every notice, and what a tap came to only in a second drawing after it. As state, the notice and the
 * words of the tap are drawn together.
 */
export function useStatus(core: Pick<BenchCore, 'status' | 'subscribe'>): BenchStatus {
  const [status, setStatus] = useState(() => core.status());
  useEffect(() => {
    const take = () => setStatus(core.status());
    const leave = core.subscribe(take);
    // Something may have changed between the first drawing and now.
    take();
    return () => void leave();
  }, [core]);
  return status;
}
