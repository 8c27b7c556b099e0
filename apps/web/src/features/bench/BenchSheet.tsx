import type { ReactNode } from 'react';
import { t } from '../../messages/translate.js';
import { ModalDialog } from '../../ui/ModalDialog.js';
import { BigButton } from './BigButton.js';

/** One thing laid over the bench, with a way out as large as everything else. */
export function BenchSheet({
  title,
  onClose,
  children,
}: {
  readonly title: string;
  readonly onClose: () => void;
  readonly children: ReactNode;
}) {
  const wayOut = (
    <BigButton look="quiet" onClick={onClose}>
      {t('command.close')}
    </BigButton>
  );
  return (
    <ModalDialog className="bench-sheet" title={title} wayOut={wayOut} onClose={onClose}>
      {children}
    </ModalDialog>
  );
}
