import { newStrainSchema, type Species, type Strain, strainPatchSchema } from '@jarfold/contracts';
import { useSaveStrain, useSpecies } from '../../api/farm.js';
import { t } from '../../messages/translate.js';
import { SelectField, TextField } from '../../ui/Field.js';
import { QueryStates } from '../../ui/QueryStates.js';
import { SideSheet } from '../../ui/SideSheet.js';
import { ThingForm } from '../../ui/ThingForm.js';
import { useForm } from '../../ui/use-form.js';
import { PlanningFacts } from '../rates/PlanningFacts.js';
import { type StrainFormValues, strainBody, strainValues } from './strain-form.js';
import { valueHint } from './value-hint.js';

/** Adds a strain, or edits one. An empty box takes the species' published value, which stands beside it. */
export function StrainSheet({ strain, onClose }: { readonly strain: Strain | null; readonly onClose: () => void }) {
  const species = useSpecies();
  return (
    <SideSheet title={strain ? strain.name : t('command.addStrain')} onClose={onClose}>
      <QueryStates query={species}>
        {({ items }) => <StrainForm strain={strain} species={items} onClose={onClose} />}
      </QueryStates>
    </SideSheet>
  );
}

function StrainForm({
  strain,
  species,
  onClose,
}: {
  readonly strain: Strain | null;
  readonly species: readonly Species[];
  readonly onClose: () => void;
}) {
  const save = useSaveStrain();
  const form = useForm(() => strainValues(strain), save.error);
  const chosen = species.find((item) => item.key === form.values.speciesKey);
  return (
    <ThingForm
      thing={strain}
      form={form}
      body={() => strainBody(form.values)}
      schemas={{ add: newStrainSchema, patch: strainPatchSchema }}
      save={save}
      onClose={onClose}
    >
      <SelectField
        label={t('field.species')}
        required
        value={form.values.speciesKey}
        error={form.error('/speciesKey')}
        onChange={(event) => form.set({ speciesKey: event.target.value })}
      >
        <option value="">{t('text.choose')}</option>
        {species.map((item) => (
          <option key={item.key} value={item.key}>
            {t('format.species', { common: item.commonName, latin: item.latinName })}
          </option>
        ))}
      </SelectField>
      <div className="field-grid">
        <TextField label={t('field.name')} {...form.box('name')} />
        <TextField label={t('field.strainCode')} hint={t('farm.codeHint')} {...form.box('code')} />
      </div>
      {strain && <PlanningFacts strainId={strain.id} />}
      <StrainValues form={form} species={chosen} />
    </ThingForm>
  );
}

function StrainValues({
  form,
  species,
}: {
  readonly form: ReturnType<typeof useForm<StrainFormValues>>;
  readonly species: Species | undefined;
}) {
  const of = species?.defaults;
  return (
    <>
      <p className="soft">{t('farm.emptyBoxHint')}</p>
      <div className="field-grid">
        <TextField
          label={t('field.inoculum')}
          unit={t('unit.g')}
          inputMode="decimal"
          hint={valueHint(of?.inoculumGramsPerContainer, 'grams')}
          {...form.box('inoculumGramsPerContainer')}
        />
        <TextField
          label={t('field.daysToRipe')}
          unit={t('unit.days')}
          inputMode="numeric"
          hint={valueHint(of?.daysToRipe, 'days')}
          {...form.box('daysToRipe')}
        />
        <TextField
          label={t('field.loss')}
          unit={t('unit.percent')}
          inputMode="decimal"
          hint={valueHint(of?.lossRate, 'share')}
          {...form.box('lossRate')}
        />
        <TextField
          label={t('field.warmLife')}
          unit={t('unit.days')}
          inputMode="numeric"
          hint={valueHint(of?.warmLifeDays, 'days')}
          {...form.box('warmLifeDays')}
        />
        <TextField
          label={t('field.coldLife')}
          unit={t('unit.days')}
          inputMode="numeric"
          hint={valueHint(of?.coldLifeDays, 'days')}
          {...form.box('coldLifeDays')}
        />
        <TextField
          label={t('field.lastGeneration')}
          inputMode="numeric"
          hint={valueHint(of?.lastGeneration, 'generation')}
          {...form.box('lastGeneration')}
        />
      </div>
      <SelectField
        label={t('field.mayBeChilled')}
        hint={of && valueHint(of.mayBeChilled, 'yesNo')}
        value={form.values.mayBeChilled}
        error={form.error('/mayBeChilled')}
        onChange={(event) => form.set({ mayBeChilled: event.target.value as StrainFormValues['mayBeChilled'] })}
      >
        <option value="">{t('farm.asSpecies')}</option>
        <option value="yes">{t('text.yes')}</option>
        <option value="no">{t('text.no')}</option>
      </SelectField>
      <TextField
        label={t('field.motherReserve')}
        unit={t('unit.jars')}
        inputMode="numeric"
        hint={t('farm.reserveHint')}
        {...form.box('motherReserve')}
      />
      <fieldset className="boxes">
        <legend>{t('farm.culture')}</legend>
        <p className="field__hint">{t('farm.cultureHint')}</p>
        <div className="field-grid">
          <TextField
            label={t('field.cultureLead')}
            unit={t('unit.days')}
            inputMode="numeric"
            {...form.box('cultureLeadDays', '/culture/leadDays')}
          />
          <TextField
            label={t('field.culturePerUnit')}
            unit={t('unit.jars')}
            inputMode="numeric"
            {...form.box('cultureContainers', '/culture/containersPerUnit')}
          />
          <TextField
            label={t('field.cultureCost')}
            inputMode="decimal"
            {...form.box('cultureCost', '/culture/costPerUnit')}
          />
        </div>
      </fieldset>
    </>
  );
}
