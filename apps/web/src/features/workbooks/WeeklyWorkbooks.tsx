import type { FileExport } from '@jarfold/contracts';
import { useQueryClient } from '@tanstack/react-query';
import { useEffect } from 'react';
import { isUnderWay, useAskWeekly, useExports, useStopExport } from '../../api/files-under-way.js';
import { askAnew } from '../../api/kept-answers.js';
import { useWorkbooks, WORKBOOKS, workbookAddress } from '../../api/workbooks.js';
import { t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { Failure } from '../../ui/Failure.js';
import { formatMoment } from '../../ui/format/index.js';
import { Notice } from '../../ui/Notice.js';
import { Panel } from '../../ui/Panel.js';
import { QueryStates } from '../../ui/QueryStates.js';
import { NothingYet } from '../../ui/Waiting.js';
import { UnderWay } from './UnderWay.js';

/** The weekly workbooks there are, and the way to another. */
export function WeeklyWorkbooks({ mayMake }: { readonly mayMake: boolean }) {
  const workbooks = useWorkbooks();
  const ask = useAskWeekly();
  const exports = useExports(mayMake);
  const weekly = exports.data?.filter(({ kind }) => kind === 'weekly-workbook') ?? [];
  const asked = weekly.find(({ id }) => id === ask.data?.id) ?? weekly.find(isUnderWay);
  useFreshListWhenReady(asked);
  return (
    <Panel
      title={t('workbooks.weekly')}
      aside={
        mayMake && (
          <Button
            look="main"
            busy={ask.isPending || (asked !== undefined && isUnderWay(asked))}
            onClick={() => ask.mutate()}
          >
            {t('command.makeWorkbook')}
          </Button>
        )
      }
    >
      <p>{t('workbooks.weeklyHint')}</p>
      {ask.error && <Failure error={ask.error} />}
      {asked && <Asked asked={asked} />}
      <QueryStates query={workbooks}>
        {({ items }) =>
          items.length === 0 ? (
            <NothingYet title={t('workbooks.none')} />
          ) : (
            <ul className="plain workbook-list">
              {items.map(({ id, week, madeAt, fileName }) => (
                <li key={id} className="workbook-list__item">
                  <span>{t('workbooks.made', { week, when: formatMoment(madeAt) })}</span>
                  <a
                    className="button button--plain"
                    href={workbookAddress(id)}
                    download={fileName}
                    aria-label={t('workbooks.downloadOf', { week, when: formatMoment(madeAt) })}
                  >
                    {t('command.download')}
                  </a>
                </li>
              ))}
            </ul>
          )
        }
      </QueryStates>
    </Panel>
  );
}

function Asked({ asked }: { readonly asked: FileExport }) {
  const stop = useStopExport();
  if (isUnderWay(asked)) {
    return (
      <UnderWay
        label={t('workbooks.making')}
        said={t('workbooks.making')}
        progress={asked.progress}
        onStop={() => stop.mutate(asked.id)}
        stopping={stop.isPending}
        error={stop.error}
      />
    );
  }
  if (asked.state === 'ready') return <Notice title={t('workbooks.madeNow', { file: asked.fileName })} live />;
  return <Notice tone="care" title={asked.result ?? ''} live />;
}

function useFreshListWhenReady(asked: FileExport | undefined): void {
  const client = useQueryClient();
  const state = asked?.state;
  useEffect(() => {
    if (state === 'ready') void askAnew(client, WORKBOOKS);
  }, [client, state]);
}
