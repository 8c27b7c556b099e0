import './waiting.css';
import type { ReactNode } from 'react';
import { Glass } from './drawing/Glass.js';

/** Shown while an answer is on its way: a jar, filling. */
export function Waiting({ label }: { readonly label: string }) {
  return (
    <div className="waiting" role="status">
      <span className="waiting__jar">
        <Glass colonised={0.45} />
      </span>
      <p>{label}</p>
    </div>
  );
}

/** Nothing here yet: an empty shelf, a sentence, and the way on. */
export function NothingYet({ title, children }: { readonly title: string; readonly children?: ReactNode }) {
  return (
    <div className="nothing">
      <div className="nothing__shelf" aria-hidden="true">
        <Glass colonised={0} filled={0} />
        <Glass colonised={0} filled={0} />
        <Glass colonised={0} filled={0} />
      </div>
      <p className="nothing__title">{title}</p>
      {children}
    </div>
  );
}
