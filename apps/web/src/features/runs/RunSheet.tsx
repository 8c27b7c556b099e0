import { type BulkRunJson, type Farm, spawnRateBases } from '@jarfold/contracts';
import { type FormEvent, useState } from 'react';
import { useChangeRun } from '../../api/runs.js';
import { type MessageKey, t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { errorAt } from '../../ui/checked-body.js';
import { Failure } from '../../ui/Failure.js';
import { DayField, SelectField, TextField } from '../../ui/Field.js';
import { SideSheet } from '../../ui/SideSheet.js';
import { EMPTY_RUN, newRunBody, type RunFormValues, runPatchBody, valuesOf } from './run-form.js';
import { onlyStrain, StrainChoice } from './StrainChoice.js';

export const BASIS_WORDS = {
  'wet/wet': 'basis.wetWet',
  'wet/dry': 'basis.wetDry',
  'dry/dry': 'basis.dryDry',
} as const satisfies Record<BulkRunJson['basis'], MessageKey>;

type Errors = ReadonlyMap<string, string>;

/** Adds a run, or edits one. Saved means planned anew: the week and the coverage follow. */
export function RunSheet({
  farm,
  run,
  onClose,
}: {
  readonly farm: Farm;
  readonly run: BulkRunJson | null;
  readonly onClose: () => void;
}) {
  const change = useChangeRun();
  const [before] = useState(() => (run ? valuesOf(run) : { ...EMPTY_RUN, strainIds: onlyStrain(farm) }));
  const [values, setValues] = useState<RunFormValues>(before);
  const [errors, setErrors] = useState<Errors>(new Map());
  // One id per opened sheet: sent twice, it is still one run.
  const [newId] = useState(() => crypto.randomUUID());
  const submit = (event: FormEvent) => {
    event.preventDefault();
    if (run) {
      const checked = runPatchBody(before, values);
      setErrors(checked.ok ? new Map() : checked.errors);
      if (!checked.ok) return;
      if (Object.keys(checked.body).length === 0) return onClose();
      change.mutate({ kind: 'edit', id: run.id, revision: run.revision, patch: checked.body }, { onSuccess: onClose });
    } else {
      const checked = newRunBody(values);
      setErrors(checked.ok ? new Map() : checked.errors);
      if (checked.ok) change.mutate({ kind: 'add', run: { ...checked.body, id: newId } }, { onSuccess: onClose });
    }
  };
  return (
    <SideSheet title={run ? t('runs.editTitle', { run: run.name }) : t('command.addRun')} onClose={onClose}>
      <form className="stack" onSubmit={submit} noValidate>
        {change.error && <Failure error={change.error} />}
        <RunBoxes farm={farm} values={values} onChange={setValues} error={(at) => errorAt(at, errors, change.error)} />
        <div className="row">
          <Button type="submit" look="main" busy={change.isPending}>
            {t('command.save')}
          </Button>
          <Button onClick={onClose}>{t('command.discardChanges')}</Button>
        </div>
      </form>
    </SideSheet>
  );
}

function RunBoxes({
  farm,
  values,
  onChange,
  error,
}: {
  readonly farm: Farm;
  readonly values: RunFormValues;
  readonly onChange: (values: RunFormValues) => void;
  readonly error: (pointer: string) => string | undefined;
}) {
  const box = (name: Exclude<keyof RunFormValues, 'strainIds' | 'basis'>) => ({
    value: values[name],
    error: error(`/${name}`),
    onChange: (event: { target: { value: string } }) => onChange({ ...values, [name]: event.target.value }),
  });
  return (
    <>
      <DayField label={t('field.runDay')} required {...box('day')} />
      <TextField
        label={t('field.substrateWet')}
        unit={t('unit.kg')}
        inputMode="decimal"
        required
        {...box('substrateWetKg')}
      />
      <StrainChoice
        farm={farm}
        chosen={values.strainIds}
        onChoose={(strainIds) => onChange({ ...values, strainIds })}
        error={error('/strainIds')}
      />
      <details className="more">
        <summary>{t('runs.more')}</summary>
        <div className="stack">
          <TextField label={t('field.runName')} hint={t('runs.nameHint')} {...box('name')} />
          <div className="field-grid">
            <TextField
              label={t('field.spawnRate')}
              hint={t('runs.rateHint')}
              unit={t('unit.percent')}
              inputMode="decimal"
              {...box('spawnRate')}
            />
            <SelectField
              label={t('field.basis')}
              value={values.basis}
              error={error('/basis')}
              onChange={(event) =>
                onChange({ ...values, basis: spawnRateBases.find((it) => it === event.target.value) ?? '' })
              }
            >
              {values.basis === '' && <option value="">{t('runs.startingValue')}</option>}
              {spawnRateBases.map((basis) => (
                <option key={basis} value={basis}>
                  {t(BASIS_WORDS[basis])}
                </option>
              ))}
            </SelectField>
          </div>
          <TextField
            label={t('field.moisture')}
            hint={t('runs.moistureHint')}
            unit={t('unit.percent')}
            inputMode="decimal"
            {...box('substrateMoisture')}
          />
          <div className="field-grid">
            <TextField
              label={t('field.minimum')}
              hint={t('runs.minimumHint')}
              unit={t('unit.percent')}
              inputMode="decimal"
              {...box('minShare')}
            />
            <TextField
              label={t('field.priority')}
              hint={t('runs.priorityHint')}
              inputMode="numeric"
              {...box('priority')}
            />
            <TextField
              label={t('field.slack')}
              hint={t('runs.slackHint')}
              unit={t('unit.days')}
              inputMode="numeric"
              {...box('slackDays')}
            />
          </div>
          <TextField label={t('field.note')} {...box('note')} />
        </div>
      </details>
    </>
  );
}
