import './first-start.css';
import { type Farm, type FirstStart, firstStartSchema } from '@jarfold/contracts';
import { addDays, calendarDay } from '@jarfold/domain';
import type { FormEvent, ReactNode } from 'react';
import { useLocation } from 'wouter';
import { useFirstStart, useSpecies } from '../../api/farm.js';
import { useIsOwner } from '../../api/session.js';
import { t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { checkedBody } from '../../ui/checked-body.js';
import { Failure } from '../../ui/Failure.js';
import { DayField, SelectField, TextField } from '../../ui/Field.js';
import { QueryStates } from '../../ui/QueryStates.js';
import { readNumber } from '../../ui/read-number.js';
import { useForm } from '../../ui/use-form.js';
import { useScreenTitle } from '../../ui/use-screen-title.js';
import { BringFarmIn } from '../exports/BringFarmIn.js';

const DAYS_TO_A_LIKELY_FIRST_RUN = 28;
const USUAL_JAR_ML = 1000;

/** Three questions, one board: what do you grow, what have you, what comes next. */
export default function FirstStartScreen({ farm }: { readonly farm: Farm }) {
  useScreenTitle(t('screen.firstStart'));
  const start = useFirstStart();
  const [, go] = useLocation();
  const form = useForm(() => startingValues(farm), start.error);
  const submit = (event: FormEvent) => {
    event.preventDefault();
    form.check(bodyOf(form.values), (body) => start.mutate(body, { onSuccess: () => go('/', { replace: true }) }));
  };
  return (
    <>
      <h1>{t('screen.firstStart')}</h1>
      <p>{t('firstStart.lead')}</p>
      <form className="stack" onSubmit={submit} noValidate>
        <Question number={1} title={t('firstStart.strain')}>
          <SpeciesChoice
            value={form.values.speciesKey}
            error={form.error('/strain/speciesKey')}
            onChoose={(speciesKey) => form.set({ speciesKey })}
          />
          <TextField
            label={t('field.strainName')}
            hint={t('firstStart.strainNameHint')}
            {...form.box('strainName', '/strain/name')}
          />
        </Question>
        <Question number={2} title={t('firstStart.jars')}>
          <div className="field-grid">
            <TextField
              label={t('field.ripeJars')}
              hint={t('firstStart.jarsHint')}
              inputMode="numeric"
              required
              {...form.box('ripeJars')}
            />
            <TextField
              label={t('field.jarVolume')}
              unit={t('unit.ml')}
              inputMode="numeric"
              required
              {...form.box('jarVolumeMl')}
            />
          </div>
        </Question>
        <Question number={3} title={t('firstStart.run')}>
          <div className="field-grid">
            <DayField label={t('field.runDay')} required {...form.box('day', '/run/day')} />
            <TextField
              label={t('field.substrateWet')}
              hint={t('firstStart.massHint')}
              unit={t('unit.kg')}
              inputMode="decimal"
              required
              {...form.box('substrateWetKg', '/run/substrateWetKg')}
            />
          </div>
        </Question>
        {start.error && <Failure error={start.error} />}
        <div className="row">
          <Button type="submit" look="main" busy={start.isPending}>
            {t('command.firstPlan')}
          </Button>
          {start.isPending && <p role="status">{t('firstStart.planning')}</p>}
        </div>
        <p className="soft">{t('firstStart.rest')}</p>
      </form>
      {useIsOwner() && <BringFarmIn />}
    </>
  );
}

function Question({
  number,
  title,
  children,
}: {
  readonly number: number;
  readonly title: string;
  readonly children: ReactNode;
}) {
  return (
    <fieldset className="question">
      <legend className="question__title">
        <span className="question__number">{number}</span> {title}
      </legend>
      <div className="stack">{children}</div>
    </fieldset>
  );
}

function SpeciesChoice({
  value,
  error,
  onChoose,
}: {
  readonly value: string;
  readonly error: string | undefined;
  readonly onChoose: (speciesKey: string) => void;
}) {
  const species = useSpecies();
  return (
    <QueryStates query={species}>
      {({ items }) => (
        <SelectField
          label={t('field.species')}
          hint={t('firstStart.speciesHint')}
          required
          value={value}
          error={error}
          onChange={(event) => onChoose(event.target.value)}
        >
          <option value="">{t('text.choose')}</option>
          {items.map((item) => (
            <option key={item.key} value={item.key}>
              {t('format.species', { common: item.commonName, latin: item.latinName })}
            </option>
          ))}
        </SelectField>
      )}
    </QueryStates>
  );
}

function startingValues(farm: Farm) {
  return {
    speciesKey: '',
    strainName: '',
    ripeJars: '',
    jarVolumeMl: String(USUAL_JAR_ML),
    day: String(addDays(calendarDay(farm.today), DAYS_TO_A_LIKELY_FIRST_RUN)),
    substrateWetKg: '',
  };
}

function bodyOf(values: ReturnType<typeof startingValues>) {
  return checkedBody<FirstStart>(firstStartSchema, {
    strain: { speciesKey: values.speciesKey, ...(values.strainName.trim() ? { name: values.strainName.trim() } : {}) },
    ripeJars: readNumber(values.ripeJars) ?? Number.NaN,
    jarVolumeMl: readNumber(values.jarVolumeMl) ?? Number.NaN,
    run: { day: values.day, substrateWetKg: readNumber(values.substrateWetKg) ?? Number.NaN },
  });
}
