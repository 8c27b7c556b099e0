import { type FileUnitsJson, fileUnitsPatchSchema } from '@jarfold/contracts';
import { type FormEvent, useState } from 'react';
import { useFileUnits, useSaveFileUnits } from '../../api/exports.js';
import { type MessageKey, t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { checkedBody } from '../../ui/checked-body.js';
import { Failure } from '../../ui/Failure.js';
import { SelectField } from '../../ui/Field.js';
import { formatWeekday } from '../../ui/format/index.js';
import { Notice } from '../../ui/Notice.js';
import { Panel } from '../../ui/Panel.js';
import { QueryStates } from '../../ui/QueryStates.js';
import { useForm } from '../../ui/use-form.js';

const MASSES = { metric: 'exports.mass.metric', us: 'exports.mass.us' } as const;
const TEMPERATURES = { celsius: 'exports.temperature.celsius', fahrenheit: 'exports.temperature.fahrenheit' } as const;
const DAYS = {
  iso: 'exports.day.iso',
  'day-first': 'exports.day.dayFirst',
  'month-first': 'exports.day.monthFirst',
} as const;
const ISO_WEEKDAYS = [1, 2, 3, 4, 5, 6, 7];

/** Units and days as the farm's files show them. */
export function FileUnitsPanel() {
  const units = useFileUnits();
  const [saved, setSaved] = useState(false);
  return (
    <Panel title={t('exports.files')}>
      <p>{t('exports.filesHint')}</p>
      <QueryStates query={units}>
        {(data) => <UnitsForm key={data.revision} units={data} onSaved={setSaved} />}
      </QueryStates>
      {saved && <Notice title={t('exports.filesSaved')} live />}
    </Panel>
  );
}

function UnitsForm({ units, onSaved }: { readonly units: FileUnitsJson; readonly onSaved: (saved: boolean) => void }) {
  const save = useSaveFileUnits();
  const { revision, weekStartsOn, ...words } = units;
  const form = useForm(() => ({ ...words, weekStartsOn: String(weekStartsOn) }), save.error);
  const submit = (event: FormEvent) => {
    event.preventDefault();
    onSaved(false);
    const body = { ...form.values, weekStartsOn: Number(form.values.weekStartsOn) };
    form.check(checkedBody(fileUnitsPatchSchema, body), (patch) =>
      save.mutate({ revision, patch }, { onSuccess: () => onSaved(true) }),
    );
  };
  return (
    <form className="stack" onSubmit={submit} onChange={() => onSaved(false)} noValidate>
      <div className="field-grid">
        <SelectField label={t('field.fileMass')} {...form.box('massUnit')}>
          {options(MASSES)}
        </SelectField>
        <SelectField label={t('field.fileTemperature')} {...form.box('temperatureUnit')}>
          {options(TEMPERATURES)}
        </SelectField>
        <SelectField label={t('field.dayStyle')} {...form.box('dayStyle')}>
          {options(DAYS)}
        </SelectField>
        <SelectField label={t('field.weekStart')} {...form.box('weekStartsOn')}>
          {ISO_WEEKDAYS.map((weekday) => (
            <option key={weekday} value={weekday}>
              {formatWeekday(weekday)}
            </option>
          ))}
        </SelectField>
      </div>
      {save.error && <Failure error={save.error} />}
      <div>
        <Button type="submit" look="main" busy={save.isPending}>
          {t('command.save')}
        </Button>
      </div>
    </form>
  );
}

const options = (words: Readonly<Record<string, MessageKey>>) =>
  Object.entries(words).map(([value, key]) => (
    <option key={value} value={value}>
      {t(key)}
    </option>
  ));
