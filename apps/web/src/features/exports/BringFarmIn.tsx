import './exports.css';
import '../workbooks/workbooks.css';
import type { FarmFilePreview } from '@jarfold/contracts';
import { useQueryClient } from '@tanstack/react-query';
import { isUnderWay, useBringFarmIn, useImportNow, useSendFarm, useStopImport } from '../../api/files-under-way.js';
import { refreshFarm } from '../../api/keys.js';
import { t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { Failure } from '../../ui/Failure.js';
import { formatMoment } from '../../ui/format/index.js';
import { Notice } from '../../ui/Notice.js';
import { Panel } from '../../ui/Panel.js';
import { Waiting } from '../../ui/Waiting.js';
import { FileChoice } from '../workbooks/FileChoice.js';
import { UnderWay } from '../workbooks/UnderWay.js';

/** A whole farm out of a file, into one to which nothing was told yet. */
export function BringFarmIn() {
  const send = useSendFarm();
  const preview = send.data;
  return (
    <Panel title={t('exports.bringFarm')}>
      <p>{t('exports.bringFarmHint')}</p>
      <div>
        <FileChoice busy={send.isPending} accept=".jsonl,.gz" onFile={(file) => send.mutate(file)} />
      </div>
      {send.isPending && <Waiting label={t('exports.readingFarm')} />}
      {send.error && <Failure error={send.error} />}
      {preview && <FarmInHand key={preview.import.id} preview={preview} />}
    </Panel>
  );
}

function FarmInHand({ preview }: { readonly preview: FarmFilePreview }) {
  const { id, fileName } = preview.import;
  const bring = useBringFarmIn();
  const stop = useStopImport();
  const client = useQueryClient();
  const listed = useImportNow(bring.data?.id);
  const now = listed.data ?? bring.data;
  if (preview.farm === null) {
    const [problem] = preview.problems;
    return <Notice tone="care" title={[problem?.rule, problem?.advice].filter(Boolean).join(' ')} live />;
  }
  const { name, madeAt, rows, stateHash } = preview.farm;
  if (now && isUnderWay(now)) {
    return (
      <UnderWay
        label={t('exports.bringingFarm', { file: fileName })}
        said={now.result}
        progress={now.progress}
        onStop={() => stop.mutate(id)}
        stopping={stop.isPending}
        error={stop.error}
      />
    );
  }
  if (now?.state === 'applied') {
    return (
      <Notice title={t('exports.farmIn', { name })} live>
        <p className="exports__hash">{now.result}</p>
        <Button look="main" onClick={() => void refreshFarm(client)}>
          {t('command.openFarm')}
        </Button>
      </Notice>
    );
  }
  return (
    <div className="stack">
      {now && <Notice tone="care" title={now.result ?? ''} live />}
      <Notice title={t('exports.farmFound', { name, when: formatMoment(madeAt), rows })} live>
        <p className="exports__hash">{t('exports.farmHash', { hash: stateHash })}</p>
        {!preview.empty && <p>{t('exports.farmNotEmpty')}</p>}
      </Notice>
      {preview.empty && (
        <div>
          <Button look="main" busy={bring.isPending} onClick={() => bring.mutate(id)}>
            {t('command.bringFarmIn')}
          </Button>
        </div>
      )}
      {bring.error && <Failure error={bring.error} />}
    </div>
  );
}
