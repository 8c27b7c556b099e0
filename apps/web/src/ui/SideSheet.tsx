import './side-sheet.css';
import type { ReactNode } from 'react';
import { t } from '../messages/translate.js';
import { Button } from './Button.js';
import { ModalDialog } from './ModalDialog.js';

/** A sheet laid over the screen for one thing: a jar, a form. */
export function SideSheet({
  title,
  onClose,
  children,
}: {
  readonly title: string;
  readonly onClose: () => void;
  readonly children: ReactNode;
}) {
  const wayOut = (
    <Button look="quiet" onClick={onClose}>
      {t('command.close')}
    </Button>
  );
  return (
    <ModalDialog className="sheet" title={title} wayOut={wayOut} onClose={onClose}>
      {children}
    </ModalDialog>
  );
}
