import './conflicts.css';
import type { SettledEntry } from '@jarfold/contracts';
import { useState } from 'react';
import { useSettledLately, useUnsettle } from '../../api/conflicts.js';
import { useIsLead } from '../../api/session.js';
import { t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { Failure } from '../../ui/Failure.js';
import { formatMoment } from '../../ui/format/index.js';
import { Panel } from '../../ui/Panel.js';
import { entryInWords, settledInWords, whoWords } from './conflict-words.js';
import { Said } from './Said.js';

/** What was settled within the last seven days, for a lead who sees only later that it was another jar. */
export function SettledLately() {
  const settled = useSettledLately();
  const maySettle = useIsLead();
  const unsettle = useUnsettle();
  const [said, setSaid] = useState<string | null>(null);
  if (settled.error && !settled.data) return <Failure error={settled.error} onRetry={() => void settled.refetch()} />;
  const items = settled.data?.items ?? [];
  if (items.length === 0 && said === null) return null;
  const undo = (item: SettledEntry) => {
    setSaid(null);
    unsettle.mutate(item.entry.id, {
      onSuccess: () => setSaid(t('conflict.undone', { what: entryInWords(item) })),
    });
  };
  return (
    <Panel title={t('conflict.settledLately')}>
      <p className="soft">{t('conflict.settledLatelyLead')}</p>
      <Said words={said} />
      {unsettle.error && <Failure error={unsettle.error} />}
      <ul className="plain stack">
        {items.map((item) => (
          <li key={item.entry.id} className="conflict">
            <h3>{entryInWords(item)}</h3>
            <p>
              <strong>{whoWords(item)}</strong>
              <br />
              <span className="soft small">{formatMoment(item.entry.effectiveAt)}</span>
            </p>
            <p>{settledInWords(item)}</p>
            {maySettle && (
              <div className="row">
                <Button busy={unsettle.isPending} onClick={() => undo(item)} className="conflict__tap">
                  {t('conflict.undo')}
                </Button>
              </div>
            )}
          </li>
        ))}
      </ul>
    </Panel>
  );
}
