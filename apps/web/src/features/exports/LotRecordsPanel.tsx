import { type FormEvent, useState } from 'react';
import { type LotsAsked, useDownloadLots } from '../../api/exports.js';
import { t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { Failure } from '../../ui/Failure.js';
import { DayField, TextField } from '../../ui/Field.js';
import { Panel } from '../../ui/Panel.js';

/** Lot records of a range of days or of one lot, for people and for programs. */
export function LotRecordsPanel() {
  const [asked, setAsked] = useState<LotsAsked>({ code: '', from: '', to: '' });
  const [wrong, setWrong] = useState(false);
  const download = useDownloadLots();
  const set = (part: Partial<LotsAsked>) => setAsked({ ...asked, ...part });
  const get = (form: 'lots' | 'epcis') => {
    const turned = asked.code.trim() === '' && asked.from !== '' && asked.to !== '' && asked.from > asked.to;
    setWrong(turned);
    if (!turned) download.mutate({ form, asked: { ...asked, code: asked.code.trim() } });
  };
  const submit = (event: FormEvent) => {
    event.preventDefault();
    get('lots');
  };
  return (
    <Panel title={t('exports.lots')}>
      <p>{t('exports.lotsHint')}</p>
      <form className="stack" onSubmit={submit} noValidate>
        <div className="field-grid">
          <DayField
            label={t('field.lotsFrom')}
            value={asked.from}
            error={wrong ? t('exports.lotsBadDays') : undefined}
            onChange={(event) => set({ from: event.target.value })}
          />
          <DayField label={t('field.lotsTo')} value={asked.to} onChange={(event) => set({ to: event.target.value })} />
          <TextField
            label={t('field.lotCode')}
            hint={t('exports.lotHint')}
            value={asked.code}
            maxLength={40}
            autoCapitalize="characters"
            autoComplete="off"
            spellCheck={false}
            onChange={(event) => set({ code: event.target.value })}
          />
        </div>
        {download.error && <Failure error={download.error} />}
        <div className="row">
          <Button type="submit" look="main" busy={download.isPending}>
            {t('command.downloadLots')}
          </Button>
          <Button busy={download.isPending} onClick={() => get('epcis')}>
            {t('command.downloadEpcis')}
          </Button>
        </div>
      </form>
    </Panel>
  );
}
