import type { ReturnedBookPreview } from '@jarfold/contracts';
import { useQueryClient } from '@tanstack/react-query';
import { useEffect, useState } from 'react';
import { isUnderWay, useImportNow, useStopImport } from '../../api/files-under-way.js';
import { refreshFarm } from '../../api/keys.js';
import { markedCopyAddress, useApplyWorkbook, useSendWorkbook } from '../../api/workbooks.js';
import { t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { Failure } from '../../ui/Failure.js';
import { Notice } from '../../ui/Notice.js';
import { Panel } from '../../ui/Panel.js';
import { Waiting } from '../../ui/Waiting.js';
import { FileChoice } from './FileChoice.js';
import { type Choices, MergePreview } from './MergePreview.js';
import { ProblemTable } from './ProblemTable.js';
import { UnderWay } from './UnderWay.js';

/** Send a workbook, see what would change, choose, take it over. */
export function ReturnedWorkbook() {
  const send = useSendWorkbook();
  const apply = useApplyWorkbook();
  const stop = useStopImport();
  const listed = useImportNow(apply.data?.id);
  const now = listed.data ?? apply.data;
  useFreshFarmWhenApplied(now?.state);
  const choose = (file: File) => {
    apply.reset();
    stop.reset();
    send.mutate(file);
  };
  const putAside = (preview: ReturnedBookPreview) => stop.mutate(preview.import.id, { onSuccess: () => send.reset() });
  return (
    <Panel title={t('workbooks.sendBack')}>
      <p>{t('workbooks.sendHint')}</p>
      <div>
        <FileChoice busy={send.isPending} accept=".xlsx" onFile={choose} />
      </div>
      {send.isPending && <Waiting label={t('workbooks.reading')} />}
      {send.error && <Failure error={send.error} />}
      {apply.error && <Failure error={apply.error} />}
      {now && isUnderWay(now) && (
        <UnderWay
          label={t('workbooks.applying', { file: now.fileName })}
          said={now.result}
          progress={now.progress}
          onStop={() => stop.mutate(now.id)}
          stopping={stop.isPending}
          error={stop.error}
        />
      )}
      {now && !isUnderWay(now) && (
        <Notice
          tone={now.state === 'applied' ? 'plain' : 'care'}
          title={t(now.state === 'applied' ? 'workbooks.applied' : 'workbooks.notApplied', {
            result: now.result ?? '',
          })}
          live
        />
      )}
      {send.data && !now && (
        <Comparison
          key={send.data.import.id}
          preview={send.data}
          busy={apply.isPending}
          onApply={(choices) => apply.mutate({ preview: send.data, body: { seen: send.data.seen, choices } })}
          onCancel={() => putAside(send.data)}
        />
      )}
      {!now && stop.error && <Failure error={stop.error} />}
    </Panel>
  );
}

function useFreshFarmWhenApplied(state: string | undefined): void {
  const client = useQueryClient();
  useEffect(() => {
    if (state === 'applied') void refreshFarm(client);
  }, [client, state]);
}

function Comparison({
  preview,
  busy,
  onApply,
  onCancel,
}: {
  readonly preview: ReturnedBookPreview;
  readonly busy: boolean;
  readonly onApply: (choices: Choices) => void;
  readonly onCancel: () => void;
}) {
  const [choices, setChoices] = useState<Choices>({});
  const { problems, counts } = preview;
  const file = preview.import.fileName;
  if (problems.length > 0) {
    const canBeMarked = problems.some(({ cell }) => cell !== null);
    return (
      <Notice tone="care" title={t('workbooks.problems', { count: problems.length, file })} live>
        <p>{t('workbooks.problemsHint')}</p>
        <ProblemTable problems={problems} />
        {canBeMarked && (
          <p>
            <a className="button button--plain" href={markedCopyAddress(preview.import.id)} download>
              {t('command.markedCopy')}
            </a>
          </p>
        )}
      </Notice>
    );
  }
  const nothing = counts.added + counts.changed + counts.cancelled + counts.conflicts + preview.copies.length === 0;
  return (
    <div className="stack">
      <Notice title={t('workbooks.compared', { file, ...counts })} live>
        {nothing && <p>{t('workbooks.nothing', { unchanged: counts.unchanged })}</p>}
        {preview.missing.length > 0 && (
          <p>{t('workbooks.missing', { count: preview.missing.length, names: preview.missing.join(', ') })}</p>
        )}
        {preview.ignoredColumns.length > 0 && (
          <p>{t('workbooks.ignored', { names: preview.ignoredColumns.join(', ') })}</p>
        )}
      </Notice>
      <MergePreview preview={preview} choices={choices} onChoose={setChoices} />
      {!nothing && (
        <div className="workbook-list__item">
          <Button look="main" busy={busy} onClick={() => onApply(choices)}>
            {t('command.applyWorkbook')}
          </Button>
          <Button look="quiet" onClick={onCancel}>
            {t('command.leaveFile')}
          </Button>
        </div>
      )}
    </div>
  );
}
