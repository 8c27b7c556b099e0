import './conflicts.css';
import type { RefusedEntry } from '@jarfold/contracts';
import { useState } from 'react';
import { useRefused, useSettle, useUnsettle } from '../../api/conflicts.js';
import { useIsLead } from '../../api/session.js';
import { t } from '../../messages/translate.js';
import { Button, LinkButton } from '../../ui/Button.js';
import { Failure } from '../../ui/Failure.js';
import { Panel } from '../../ui/Panel.js';
import { Conflict } from './Conflict.js';
import { entryInWords, type Settlement } from './conflict-words.js';
import { Said } from './Said.js';

/**
 * Work from the tablets that the farm's rules refused, above everything else of the week: two people took the same
 * grams, a jar was gone. Nothing at all when there is none. A lead settles each with one tap, and undoes the last with
 * another.
 */
export function ConflictPanel() {
  const refused = useRefused();
  const maySettle = useIsLead();
  const settle = useSettle();
  const unsettle = useUnsettle();
  const [said, setSaid] = useState<string | null>(null);
  const [settled, setSettled] = useState<RefusedEntry | null>(null);
  if (refused.error && !refused.data) return <Failure error={refused.error} onRetry={() => void refused.refetch()} />;
  const items = refused.data?.items ?? [];
  if (items.length === 0 && said === null) return null;
  const choose = (item: RefusedEntry, { words, settle: body }: Settlement) => {
    setSaid(null);
    setSettled(null);
    unsettle.reset();
    settle.mutate(
      { entryId: item.entry.id, settle: body },
      {
        onSuccess: () => {
          setSaid(t('conflict.settled', { what: entryInWords(item), how: words }));
          setSettled(item);
        },
      },
    );
  };
  const takeBack = (item: RefusedEntry) =>
    unsettle.mutate(item.entry.id, {
      onSuccess: () => {
        setSaid(t('conflict.undone', { what: entryInWords(item) }));
        setSettled(null);
      },
    });
  return (
    <Panel title={t('screen.needsLook')} className="conflicts">
      <Said words={said} />
      {settled && (
        <div className="row">
          <Button busy={unsettle.isPending} onClick={() => takeBack(settled)} className="conflict__tap">
            {t('conflict.undo')}
          </Button>
          <LinkButton look="quiet" href="/watch">
            {t('conflict.settledLately')}
          </LinkButton>
        </div>
      )}
      {settle.error && <Failure error={settle.error} />}
      {unsettle.error && <Failure error={unsettle.error} />}
      {items.length > 0 && <p className="soft">{t('conflict.lead')}</p>}
      <ul className="plain stack">
        {items.map((item) => (
          <Conflict
            key={item.entry.id}
            item={item}
            maySettle={maySettle}
            busy={settle.isPending}
            onSettle={(settlement) => choose(item, settlement)}
          />
        ))}
      </ul>
    </Panel>
  );
}
