import './side-sheet.css';
import { type ReactNode, useEffect, useId, useRef } from 'react';
import { t } from '../messages/translate.js';
import { Button } from './Button.js';

/**
 * A sheet laid over the screen for one thing: a jar, a form. It is the browser's own modal dialog, which keeps the
 * keyboard inside and closes on Escape.
 */
export function SideSheet({
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
    // Runs once the sheet is gone: whoever opened it goes on from where they were.
    return () => {
      if (before instanceof HTMLElement) before.focus();
    };
  }, []);
  return (
    <dialog
      ref={dialog}
      className="sheet"
      aria-labelledby={id}
      onClose={onClose}
      onCancel={(event) => {
        event.preventDefault();
        onClose();
      }}
    >
      <header className="sheet__head">
        <h2 id={id}>{title}</h2>
        <Button look="quiet" onClick={onClose}>
          {t('command.close')}
        </Button>
      </header>
      <div className="sheet__body">{children}</div>
    </dialog>
  );
}
