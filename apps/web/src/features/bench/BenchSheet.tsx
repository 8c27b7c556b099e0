import { type ReactNode, useEffect, useId, useRef } from 'react';
import { t } from '../../messages/translate.js';
import { BigButton } from './BigButton.js';

/** One thing laid over the bench: the browser's own modal dialog, with a way out as large as everything else. */
export function BenchSheet({
  title,
  onClose,
  children,
}: {
  readonly title: string;
  readonly onClose: () => void;
  readonly children: ReactNode;
}) {
  const id = useId();
  const dialog = useRef<HTMLDialogElement>(null);
  useEffect(() => {
    const before = document.activeElement;
    dialog.current?.showModal();
    return () => {
      if (before instanceof HTMLElement) before.focus();
    };
  }, []);
  return (
    <dialog
      ref={dialog}
      className="bench-sheet"
      aria-labelledby={id}
      onClose={onClose}
      onCancel={(event) => {
        event.preventDefault();
        onClose();
      }}
    >
      <header className="bench-sheet__head">
        <h2 id={id}>{title}</h2>
        <BigButton look="quiet" onClick={onClose}>
          {t('command.close')}
        </BigButton>
      </header>
      <div className="bench-sheet__body">{children}</div>
    </dialog>
  );
}
