import type { ReactNode } from 'react';

/** The drawn sign of an action, beside its words. */
function Sign({ children }: { readonly children: ReactNode }) {
  return (
    <svg className="object" viewBox="0 0 60 60" aria-hidden="true" focusable="false">
      {children}
    </svg>
  );
}

export const MoveSign = () => (
  <Sign>
    <path className="object__line" d="M6 48h48M6 30h20M34 30h20M10 30v18M50 30v18" />
    <path className="object__line" d="M16 18h24M33 10l8 8-8 8" />
  </Sign>
);

export const ShakeSign = () => (
  <Sign>
    <path className="object__outline" d="M22 16h16v6c6 2 8 6 8 12v16H14V34c0-6 2-10 8-12z" />
    <path className="object__line" d="M6 22c-3 8-3 18 0 26M54 22c3 8 3 18 0 26" />
  </Sign>
);

export const BasketSign = () => (
  <Sign>
    <path className="object__sack" d="M8 30h44l-6 24H14z" />
    <path className="object__spawn" d="M18 30c0-9 6-13 12-13s12 4 12 13z" />
    <path className="object__outline" d="M8 30h44l-6 24H14zM18 30c0-9 6-13 12-13s12 4 12 13" />
  </Sign>
);

export const NoteSign = () => (
  <Sign>
    <path className="object__dial" d="M12 6h28l10 10v38H12z" />
    <path className="object__line" d="M20 24h22M20 34h22M20 44h14" />
  </Sign>
);

export const ScanSign = () => (
  <Sign>
    <path
      className="object__line"
      d="M8 20V8h12M40 8h12v12M52 40v12H40M20 52H8V40M20 20h8v8h-8zM34 20h6v6h-6zM20 36h6v6h-6zM36 34h6v8h-6z"
    />
  </Sign>
);
