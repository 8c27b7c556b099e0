import { useEffect, useState } from 'react';
import { t } from '../../messages/translate.js';
import type { ImportAnswer } from '../../offline/index.js';
import { BenchScreen } from './BenchScreen.js';
import { BigButton } from './BigButton.js';
import { useBench } from './bench-context.js';
import { formatMoment } from './moment.js';
import { useUpdate } from './use-update.js';

type Kept = 'asking' | 'kept' | 'may-be-cleared' | 'unknown';

/** How this tablet stands: what is unsent, whether the browser keeps it, its clock, and moving work by file. */
export default function TabletScreen() {
  const { core, status, farm, device } = useBench();
  const kept = useStorageKept();
  const update = useUpdate();
  const [imported, setImported] = useState<ImportAnswer | null>(null);
  return (
    <BenchScreen title={t('screen.tablet')}>
      <dl className="facts">
        <dt>{t('tablet.name')}</dt>
        <dd>{device ? device.name : t('tablet.notEnrolled')}</dd>
        <dt>{t('tablet.unsent')}</dt>
        <dd>
          {status.unsent === 0
            ? t('tablet.allSent')
            : t('tablet.unsentSince', {
                count: status.unsent,
                moment: formatMoment(status.oldestUnsentAtMs ?? core.nowMs(), farm.farm.timeZone),
              })}
        </dd>
        <dt>{t('tablet.picture')}</dt>
        <dd>{formatMoment(Date.parse(farm.takenAt), farm.farm.timeZone)}</dd>
        <dt>{t('tablet.storage')}</dt>
        <dd>{t(KEPT_WORDS[kept])}</dd>
        <dt>{t('tablet.clock')}</dt>
        <dd>
          {status.clockWrong
            ? t('tablet.clockOff', { minutes: Math.round(Math.abs(status.clockOffsetMs) / 60_000) })
            : t('tablet.clockRight')}
        </dd>
      </dl>
      {status.stopped && (
        <p className="wrong" role="alert">
          {t('tablet.stopped', { detail: status.stopped.detail })}
        </p>
      )}
      <div className="choices__grid">
        <BigButton onClick={() => void core.syncNow()}>{t('command.syncNow')}</BigButton>
        <BigButton onClick={() => saveFile(core.unsentFile())} hint={t('tablet.saveHint')}>
          {t('command.saveUnsent')}
        </BigButton>
        <label className="big big--plain photo-button">
          <span className="big__words">
            {t('command.takeUnsent')}
            <span className="big__hint">{t('tablet.takeHint')}</span>
          </span>
          <input
            type="file"
            accept="application/json,.json"
            className="photo-button__input"
            onChange={(event) => {
              const file = event.target.files?.[0];
              if (file) void file.text().then(async (text) => setImported(await core.takeUnsentFile(text)));
              event.target.value = '';
            }}
          />
        </label>
        {update.waiting && (
          <BigButton look="main" onClick={update.take} hint={t('tablet.updateHint')}>
            {t('command.update')}
          </BigButton>
        )}
        {kept !== 'kept' && (
          <BigButton onClick={() => void navigator.storage?.persist?.()} hint={t('tablet.keepHint')}>
            {t('command.keepStorage')}
          </BigButton>
        )}
      </div>
      {imported && (
        <p className={imported.outcome === 'refused' ? 'wrong' : ''} role="status">
          {importWords(imported)}
        </p>
      )}
    </BenchScreen>
  );
}

const KEPT_WORDS = {
  asking: 'tablet.storage.asking',
  kept: 'tablet.storage.kept',
  'may-be-cleared': 'tablet.storage.mayClear',
  unknown: 'tablet.storage.unknown',
} as const;

/** Asks the browser to keep this site's data when space runs short, and says what it answered. */
export function useStorageKept(): Kept {
  const [kept, setKept] = useState<Kept>('asking');
  useEffect(() => {
    const { storage } = navigator as Partial<Navigator>;
    if (!storage?.persist) return setKept('unknown');
    storage.persist().then(
      (answer) => setKept(answer ? 'kept' : 'may-be-cleared'),
      () => setKept('unknown'),
    );
  }, []);
  return kept;
}

function saveFile(text: string): void {
  const link = document.createElement('a');
  link.href = URL.createObjectURL(new Blob([text], { type: 'application/json' }));
  link.download = `jarfold-unsent-${new Date().toISOString().slice(0, 16).replaceAll(':', '')}.json`;
  link.click();
  URL.revokeObjectURL(link.href);
}

function importWords(answer: ImportAnswer): string {
  if (answer.outcome === 'taken') return t('tablet.taken', { taken: answer.taken, known: answer.known });
  const { fault } = answer;
  switch (fault.code) {
    case 'not-json':
      return t('tablet.file.notJson');
    case 'other-farm':
      return t('tablet.file.otherFarm');
    case 'not-this-format':
      return t('tablet.file.format', { where: fault.where, detail: fault.detail });
    case 'entry-malformed':
      return t('tablet.file.entry', { number: fault.number, where: fault.where, detail: fault.detail });
  }
}
