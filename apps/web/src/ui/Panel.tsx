import './panel.css';
import { type ReactNode, useId } from 'react';

/** A board with a heading: one subject of a screen, and a region for those who read it by ear. */
export function Panel({
  title,
  aside,
  children,
  className = '',
}: {
  readonly title: string;
  /** Stands at the far end of the heading: a count, a command. */
  readonly aside?: ReactNode;
  readonly children: ReactNode;
  readonly className?: string;
}) {
  const id = useId();
  return (
    <section className={`panel ${className}`} aria-labelledby={id}>
      <header className="panel__head">
        {/* Where the keyboard goes on when what it stood on has left the panel. */}
        <h2 id={id} tabIndex={-1}>
          {title}
        </h2>
        {aside}
      </header>
      {children}
    </section>
  );
}
