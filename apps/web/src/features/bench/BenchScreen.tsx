import { type ReactNode, useEffect, useRef } from 'react';
import { t } from '../../messages/translate.js';

/** The inside of a bench screen: its name, where the keyboard goes on from, and the rest. */
export function BenchScreen({ title, children }: { readonly title: string; readonly children: ReactNode }) {
  const heading = useRef<HTMLHeadingElement>(null);
  useEffect(() => {
    document.title = t('text.documentTitle', { screen: title });
    window.scrollTo(0, 0);
    heading.current?.focus({ preventScroll: true });
  }, [title]);
  return (
    <div className="bench-screen">
      <h1 ref={heading} tabIndex={-1}>
        {title}
      </h1>
      {children}
    </div>
  );
}
