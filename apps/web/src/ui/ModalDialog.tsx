import { type ReactNode, useEffect, useId, useRef } from 'react';

/**
 * The browser's own modal dialog, which keeps the keyboard inside and closes on Escape; whoever opened it goes on from
 * where they were. What it looks like is said by the class, on the dialog, its `__head` and its `__body`.
 */
export function ModalDialog({
  className,
  title,
  wayOut,
  onClose,
  children,
}: {
  readonly className: string;
  readonly title: string;
  /** The button that closes it, as large as its surroundings ask. */
  readonly wayOut: ReactNode;
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
      className={className}
      aria-labelledby={id}
      onClose={onClose}
      onCancel={(event) => {
        event.preventDefault();
        onClose();
      }}
    >
      <header className={`${className}__head`}>
        <h2 id={id}>{title}</h2>
        {wayOut}
      </header>
      <div className={`${className}__body`}>{children}</div>
    </dialog>
  );
}
