import { type BulkRunJson, type Farm, spawnRateBases } from '@jarfold/contracts';
import { type MessageKey, t } from '../../messages/translate.js';
import { DayField, SelectField, TextField } from '../../ui/Field.js';
import { CommonBoxes, type RunForm, RunFormSheet } from './RunFormSheet.js';
import { EMPTY_RUN, newRunBody, type RunFormValues, runPatchBody, valuesOf } from './run-form.js';
import { onlyStrain, StrainChoice } from './StrainChoice.js';

export const BASIS_WORDS = {
  'wet/wet': 'basis.wetWet',
  'wet/dry': 'basis.wetDry',
  'dry/dry': 'basis.dryDry',
} as const satisfies Record<BulkRunJson['basis'], MessageKey>;

/** Adds a bulk run, or edits one. */
export function RunSheet({
  farm,
  run,
  onClose,
}: {
  readonly farm: Farm;
  readonly run: BulkRunJson | null;
  readonly onClose: () => void;
}) {
  return (
    <RunFormSheet
      run={run}
      addTitle={t('command.addRun')}
      initial={() => (run ? valuesOf(run) : { ...EMPTY_RUN, strainIds: onlyStrain(farm) })}
      newBody={newRunBody}
      patchBody={runPatchBody}
      onClose={onClose}
    >
      {(form) => <RunBoxes farm={farm} form={form} />}
    </RunFormSheet>
  );
}

function RunBoxes({ farm, form }: { readonly farm: Farm; readonly form: RunForm<RunFormValues> }) {
  const { values, box } = form;
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
        onChoose={(strainIds) => form.set({ strainIds })}
        error={form.error('/strainIds')}
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
              error={form.error('/basis')}
              onChange={(event) => form.set({ basis: spawnRateBases.find((it) => it === event.target.value) ?? '' })}
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
          <CommonBoxes form={form} minimumHint="runs.minimumHint" />
        </div>
      </details>
    </>
  );
}
