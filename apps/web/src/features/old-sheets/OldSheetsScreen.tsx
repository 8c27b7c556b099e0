import './old-sheets.css';
import type { Farm } from '@jarfold/contracts';
import { useLocation } from 'wouter';
import { useOldSheet, useOldSheetsList, useSendOldSheet, useWhenSettled } from '../../api/old-sheets.js';
import { useIsLead } from '../../api/session.js';
import { t } from '../../messages/translate.js';
import { LinkButton } from '../../ui/Button.js';
import { Failure } from '../../ui/Failure.js';
import { formatMoment } from '../../ui/format/index.js';
import { Panel } from '../../ui/Panel.js';
import { QueryStates } from '../../ui/QueryStates.js';
import { Waiting } from '../../ui/Waiting.js';
import { FileChoice } from '../workbooks/FileChoice.js';
import { SheetInHand } from './SheetInHand.js';

const HERE = '/old-spreadsheets';

/** A farm's own old lists: choose one, say how it is to be understood, see what would come of it, bring it in. */
export default function OldSheetsScreen({ farm, importId }: { readonly farm: Farm; readonly importId: string }) {
  return (
    <>
      <header className="screen__head">
        <h1>{t('screen.oldSheets')}</h1>
      </header>
      {useIsLead() ? <Sheets farm={farm} importId={importId} /> : <p>{t('oldSheets.leadsOnly')}</p>}
    </>
  );
}

const Sheets = ({ farm, importId }: { readonly farm: Farm; readonly importId: string }) =>
  importId === '' ? <ChooseFile /> : <OneFile key={importId} farm={farm} importId={importId} />;

function ChooseFile() {
  const [, go] = useLocation();
  const send = useSendOldSheet();
  const choose = (file: File) => send.mutate(file, { onSuccess: (preview) => go(`${HERE}/${preview.import.id}`) });
  return (
    <>
      <Panel title={t('command.openOldSheets')}>
        <p>{t('oldSheets.intro')}</p>
        <div>
          <FileChoice busy={send.isPending} accept=".xlsx,.csv,.txt,.tsv" onFile={choose} />
        </div>
        {send.isPending && <Waiting label={t('oldSheets.reading')} />}
        {send.error && <Failure error={send.error} />}
      </Panel>
      <SentBefore />
    </>
  );
}

function SentBefore() {
  const list = useOldSheetsList();
  if (list.data?.length === 0) return null;
  return (
    <Panel title={t('oldSheets.before')}>
      <QueryStates query={list}>
        {(items) => (
          <ul className="plain old-sheets__before">
            {items.map(({ id, fileName, uploadedAt, result }) => (
              <li key={id}>
                <span>{[fileName, formatMoment(uploadedAt), result].filter(Boolean).join(' · ')}</span>
                <LinkButton href={`${HERE}/${id}`}>
                  {t('command.lookAtFile')}
                  <span className="visually-hidden"> {fileName}</span>
                </LinkButton>
              </li>
            ))}
          </ul>
        )}
      </QueryStates>
    </Panel>
  );
}

function OneFile({ farm, importId }: { readonly farm: Farm; readonly importId: string }) {
  const sheet = useOldSheet(importId);
  const list = useOldSheetsList();
  const now = list.data?.find(({ id }) => id === importId);
  useWhenSettled(importId, now?.state);
  return (
    <>
      <p>
        <LinkButton href={HERE} look="quiet">
          {t('command.anotherFile')}
        </LinkButton>
      </p>
      <QueryStates query={sheet}>
        {(preview) => <SheetInHand farm={farm} preview={preview} now={now ?? preview.import} />}
      </QueryStates>
    </>
  );
}
