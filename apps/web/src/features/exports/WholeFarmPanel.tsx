import type { FileExport } from '@jarfold/contracts';
import { farmFileAddress, isUnderWay, useAskFarmFile, useExports, useStopExport } from '../../api/files-under-way.js';
import { t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { Failure } from '../../ui/Failure.js';
import { formatMoment } from '../../ui/format/index.js';
import { Notice } from '../../ui/Notice.js';
import { Panel } from '../../ui/Panel.js';
import { UnderWay } from '../workbooks/UnderWay.js';

const FORMS = [
  ['jsonl', 'command.downloadJsonLines'],
  ['xlsx', 'command.downloadTables'],
  ['csv', 'command.downloadCsv'],
] as const;

/** Nobody is locked in: the whole farm in one file. */
export function WholeFarmPanel({ mayTakeOut }: { readonly mayTakeOut: boolean }) {
  return (
    <Panel title={t('exports.farm')}>
      <p>{t('exports.farmHint')}</p>
      {mayTakeOut ? <FarmFiles /> : <p className="soft">{t('exports.farmOwner')}</p>}
    </Panel>
  );
}

function FarmFiles() {
  const ask = useAskFarmFile();
  const exports = useExports(true);
  const files = exports.data?.filter(({ kind }) => kind === 'whole-farm') ?? [];
  const busy = ask.isPending || files.some(isUnderWay);
  return (
    <>
      <div className="row">
        {FORMS.map(([form, words]) => (
          <Button key={form} disabled={busy} onClick={() => ask.mutate(form)}>
            {t(words)}
          </Button>
        ))}
      </div>
      {ask.error && <Failure error={ask.error} />}
      {exports.error && <Failure error={exports.error} />}
      {files.slice(0, 6).map((file) => (
        <FarmFile key={file.id} file={file} />
      ))}
    </>
  );
}

function FarmFile({ file }: { readonly file: FileExport }) {
  const stop = useStopExport();
  const form = t(FORMS.find(([known]) => known === file.form)![1]);
  if (isUnderWay(file)) {
    const label = t('exports.making', { form });
    return (
      <UnderWay
        label={label}
        said={label}
        progress={file.progress}
        onStop={() => stop.mutate(file.id)}
        stopping={stop.isPending}
        error={stop.error}
      />
    );
  }
  if (file.state !== 'ready') return <Notice tone="care" title={file.result ?? form} live />;
  return (
    <div className="row">
      <span className="exports__made">
        {t('exports.made', { form, when: formatMoment(file.readyAt ?? file.askedAt), result: file.result ?? '' })}
      </span>
      <a
        className="button button--plain"
        href={farmFileAddress(file.id)}
        download={file.fileName}
        aria-label={t('exports.downloadOf', { file: file.fileName })}
      >
        {t('command.download')}
      </a>
    </div>
  );
}
