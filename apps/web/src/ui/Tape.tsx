import './tape.css';
import type { ReactNode } from 'react';

/** A strip of paper tape with marker lettering, as it sits on a lid: codes and short names. */
export function Tape({ children, size = 'text' }: { readonly children: ReactNode; readonly size?: 'text' | 'large' }) {
  return <span className={`tape tape--${size}`}>{children}</span>;
}
