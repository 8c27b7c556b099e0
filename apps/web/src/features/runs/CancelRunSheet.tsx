import type { Run } from '@jarfold/contracts';
import { type FormEvent, useState } from 'react';
import { useChangeRun } from '../../api/runs.js';
import { t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { errorAt } from '../../ui/checked-body.js';
import { Failure } from '../../ui/Failure.js';
import { TextField } from '../../ui/Field.js';
import { formatDay } from '../../ui/format/index.js';
import { SideSheet } from '../../ui/SideSheet.js';

/** Cancelling keeps the run with its reason; its spawn is planned for the others. */
export function CancelRunSheet({ run, onClose }: { readonly run: Run; readonly onClose: () => void }) {
  const change = useChangeRun();
  const isOrder = run.kind === 'order';
  const [reason, setReason] = useState('');
  const submit = (event: FormEvent) => {
    event.preventDefault();
    change.mutate(
      { kind: 'cancel', id: run.id, revision: run.revision, reason: reason.trim() || null },
      { onSuccess: onClose },
    );
  };
  return (
    <SideSheet title={t('runs.cancelTitle', { run: run.name })} onClose={onClose}>
      <form className="stack" onSubmit={submit}>
        <p>{t(isOrder ? 'orders.cancelWords' : 'runs.cancelWords', { day: formatDay(run.day) })}</p>
        {change.error && <Failure error={change.error} />}
        <TextField
          label={t('field.reason')}
          value={reason}
          error={errorAt('/reason', new Map(), change.error)}
          onChange={(event) => setReason(event.target.value)}
        />
        <div className="row">
          <Button type="submit" look="danger" busy={change.isPending}>
            {t(isOrder ? 'command.cancelOrder' : 'command.cancelRun')}
          </Button>
          <Button onClick={onClose}>{t(isOrder ? 'command.keepOrder' : 'command.keepRun')}</Button>
        </div>
      </form>
    </SideSheet>
  );
}
