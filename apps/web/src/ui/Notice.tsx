import './notice.css';
import type { ReactNode } from 'react';

export type NoticeTone = 'plain' | 'care' | 'alarm';

/** A sentence that must not be missed. Its shape (a cut corner and a sign) says how serious it is, not only its tone. */
export function Notice({
  tone = 'plain',
  title,
  live = false,
  children,
}: {
  readonly tone?: NoticeTone;
  readonly title?: string;
  /** Announced by screen readers when it appears. */
  readonly live?: boolean;
  readonly children?: ReactNode;
}) {
  return (
    <div className={`notice notice--${tone}`} role={live ? (tone === 'alarm' ? 'alert' : 'status') : undefined}>
      <NoticeSign tone={tone} />
      <div className="notice__text">
        {title && <p className="notice__title">{title}</p>}
        {children}
      </div>
    </div>
  );
}

function NoticeSign({ tone }: { readonly tone: NoticeTone }) {
  return (
    <svg className="notice__sign" viewBox="0 0 24 24" aria-hidden="true" focusable="false">
      {tone === 'alarm' && <path d="M8 2h8l6 6v8l-6 6H8l-6-6V8zM12 6.500v7M12 17v.5" />}
      {tone === 'care' && <path d="M12 2.500l10 18.500H2zM12 9v6M12 18v.3" />}
      {tone === 'plain' && <path d="M4 3h16v18H4zM8 8h8M8 12h8M8 16h5" />}
    </svg>
  );
}
