import { useEffect, useRef } from 'react';

/** What a tap came to. The button that was tapped is gone with its entry: whoever works by keyboard goes on from here. */
export function Said({ words }: { readonly words: string | null }) {
  const said = useRef<HTMLParagraphElement>(null);
  useEffect(() => {
    if (words !== null) said.current?.focus();
  }, [words]);
  return (
    <p ref={said} tabIndex={-1} role="status" className={words === null ? undefined : 'conflicts__said'}>
      {words}
    </p>
  );
}
