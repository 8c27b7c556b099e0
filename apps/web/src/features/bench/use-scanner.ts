import { useEffect, useRef } from 'react';
import { codeOnLabel, ScannerKeys } from './scanner-keys.js';

/** Listens for a scanner that acts as a keyboard, wherever the focus is. */
export function useScanner(onCode: (code: string) => void): void {
  const latest = useRef(onCode);
  latest.current = onCode;
  useEffect(() => {
    const keys = new ScannerKeys();
    const listen = (event: KeyboardEvent) => {
      const code = keys.key(event.key, event.timeStamp);
      if (code === null) return;
      // The Enter belongs to the code and must not press whatever has the focus.
      event.preventDefault();
      event.stopPropagation();
      latest.current(codeOnLabel(code));
    };
    window.addEventListener('keydown', listen, { capture: true });
    return () => window.removeEventListener('keydown', listen, { capture: true });
  }, []);
}
