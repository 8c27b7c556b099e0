import { type Farm, farmSettingsPatchSchema } from '@jarfold/contracts';
import { type FormEvent, useState } from 'react';
import { useSaveSettings } from '../../api/farm.js';
import { type MessageKey, t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { Caution } from '../../ui/Caution.js';
import { checkedBody } from '../../ui/checked-body.js';
import { Failure } from '../../ui/Failure.js';
import { CheckField, SelectField, TextField } from '../../ui/Field.js';
import { formatShare, formatWeekday } from '../../ui/format/index.js';
import { Notice } from '../../ui/Notice.js';
import { useForm } from '../../ui/use-form.js';
import { ClosedDays } from './ClosedDays.js';
import { COSTS, RHYTHM, type SettingsValues, settingsBody, settingsValues } from './settings-form.js';

const RHYTHM_WORDS = {
  benchContainersPerDay: { label: 'field.benchJars', unit: 'unit.jars' },
  benchMinutesPerDay: { label: 'field.benchMinutes', unit: 'unit.minutes' },
  benchMinutesPerContainer: { label: 'field.minutesPerJar', unit: 'unit.minutes' },
  vesselPlaces: { label: 'field.vesselPlaces', unit: 'unit.jars' },
  cyclesPerPreparationDay: { label: 'field.cycles', unit: 'unit.cycles' },
  preparationLeadDays: { label: 'field.preparationLead', unit: 'unit.days' },
  openedLifeDays: { label: 'field.openedLife', unit: 'unit.days' },
  washingDays: { label: 'field.washing', unit: 'unit.days' },
} as const satisfies Record<(typeof RHYTHM)[number], { label: MessageKey; unit: MessageKey }>;

const RHYTHM_HINTS: Partial<Record<(typeof RHYTHM)[number], MessageKey>> = {
  benchMinutesPerDay: 'farm.benchMinutesHint',
};

const COST_WORDS = {
  perContainerStarted: 'field.cost.jar',
  perCycle: 'field.cost.cycle',
  perGramAgedOut: 'field.cost.agedOut',
  perGramShort: 'field.cost.short',
  perGramBelowTarget: 'field.cost.belowTarget',
  perGramGeneration: 'field.cost.generation',
  perGramDayOld: 'field.cost.age',
} as const satisfies Record<(typeof COSTS)[number], MessageKey>;

/** How the farm works. Saved means planned anew; the boxes then begin from what was saved. */
export function Settings({ farm }: { readonly farm: Farm }) {
  const [saved, setSaved] = useState(false);
  return (
    <>
      <SettingsForm key={farm.settings.revision} farm={farm} onSaved={setSaved} />
      {saved && <Notice live title={t('farm.saved')} />}
    </>
  );
}

function SettingsForm({ farm, onSaved }: { readonly farm: Farm; readonly onSaved: (saved: boolean) => void }) {
  const save = useSaveSettings();
  const form = useForm(() => settingsValues(farm.settings), save.error);
  const submit = (event: FormEvent) => {
    event.preventDefault();
    onSaved(false);
    form.check(checkedBody(farmSettingsPatchSchema, settingsBody(form.before, form.values)), (patch) =>
      save.mutate({ revision: farm.settings.revision, patch }, { onSuccess: () => onSaved(true) }),
    );
  };
  return (
    <form className="stack" onSubmit={submit} noValidate>
      <BenchDays form={form} />
      <ClosedDays
        days={form.values.closedDays}
        error={form.error('/rhythm/closedDays')}
        onChange={(closedDays) => form.set({ closedDays })}
      />
      <div className="field-grid">
        {RHYTHM.map((name) => (
          <TextField
            key={name}
            label={t(RHYTHM_WORDS[name].label)}
            unit={t(RHYTHM_WORDS[name].unit)}
            hint={hintOf(name)}
            inputMode="decimal"
            {...form.box(name, `/rhythm/${name}`)}
          />
        ))}
      </div>
      <Caution hazards={['pressure']} />
      <div className="field-grid">
        <SelectField
          label={t('field.grain')}
          value={form.values.grain}
          error={form.error('/grain')}
          onChange={(event) => form.set({ grain: event.target.value })}
        >
          {farm.grains.map((grain) => (
            <option key={grain.key} value={grain.key}>
              {t('farm.grainChoice', { name: grain.name, moisture: formatShare(grain.moisture) })}
            </option>
          ))}
        </SelectField>
        <TextField
          label={t('field.targetMoisture')}
          hint={t('farm.moistureHint')}
          unit={t('unit.percent')}
          inputMode="decimal"
          {...form.box('targetMoisture')}
        />
        <TextField
          label={t('field.altitude')}
          hint={t('farm.altitudeHint')}
          unit={t('unit.m')}
          inputMode="decimal"
          {...form.box('altitudeM')}
        />
        <TextField label={t('field.horizon')} unit={t('unit.days')} inputMode="numeric" {...form.box('horizonDays')} />
        <TextField label={t('field.farmName')} {...form.box('name')} />
        <TextField label={t('field.timeZone')} {...form.box('timeZone')} />
      </div>
      <details className="more">
        <summary>{t('farm.costs')}</summary>
        <div className="stack">
          <p className="soft">{t('farm.costsHint')}</p>
          <div className="field-grid">
            <TextField label={t('field.currency')} {...form.box('currency')} />
            {COSTS.map((name) => (
              <TextField
                key={name}
                label={t(COST_WORDS[name])}
                inputMode="decimal"
                {...form.box(name, `/costs/${name}`)}
              />
            ))}
          </div>
        </div>
      </details>
      {save.error && <Failure error={save.error} />}
      <div>
        <Button type="submit" look="main" busy={save.isPending}>
          {t('command.save')}
        </Button>
      </div>
    </form>
  );
}

function hintOf(name: (typeof RHYTHM)[number]): string | undefined {
  const hint = RHYTHM_HINTS[name];
  return hint && t(hint);
}

function BenchDays({ form }: { readonly form: ReturnType<typeof useForm<SettingsValues>> }) {
  const { benchWeekdays } = form.values;
  return (
    <fieldset className="boxes">
      <legend>{t('field.benchDays')}</legend>
      <div className="weekdays">
        {([1, 2, 3, 4, 5, 6, 7] as const).map((weekday) => (
          <CheckField
            key={weekday}
            label={formatWeekday(weekday)}
            checked={benchWeekdays.includes(weekday)}
            onChange={(event) =>
              form.set({
                benchWeekdays: event.target.checked
                  ? [...benchWeekdays, weekday].sort()
                  : benchWeekdays.filter((it) => it !== weekday),
              })
            }
          />
        ))}
      </div>
      {form.error('/rhythm/benchWeekdays') && <p className="field__error">{form.error('/rhythm/benchWeekdays')}</p>}
    </fieldset>
  );
}
