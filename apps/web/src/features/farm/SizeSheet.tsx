import {
  type ContainerSizeJson,
  carriers,
  containerForms,
  containerSizePatchSchema,
  newContainerSizeSchema,
} from '@jarfold/contracts';
import { useSaveSize } from '../../api/farm.js';
import { t } from '../../messages/translate.js';
import { SelectField, TextField } from '../../ui/Field.js';
import { readNumber } from '../../ui/read-number.js';
import { SideSheet } from '../../ui/SideSheet.js';
import { ThingForm } from '../../ui/ThingForm.js';
import { useForm } from '../../ui/use-form.js';
import { CARRIER_WORDS, CONTAINER_WORDS } from './size-words.js';

/** Adds a size of jar, or edits one. */
export function SizeSheet({
  size,
  onClose,
}: {
  readonly size: ContainerSizeJson | null;
  readonly onClose: () => void;
}) {
  const save = useSaveSize();
  const form = useForm(() => sizeValues(size), save.error);
  return (
    <SideSheet title={size ? size.name : t('command.addSize')} onClose={onClose}>
      <ThingForm
        thing={size}
        form={form}
        body={() => sizeBody(form.values)}
        schemas={{ add: newContainerSizeSchema, patch: containerSizePatchSchema }}
        save={save}
        onClose={onClose}
      >
        <TextField label={t('field.name')} hint={t('farm.sizeNameHint')} {...form.box('name')} />
        <div className="field-grid">
          <SelectField
            label={t('field.container')}
            value={form.values.container}
            error={form.error('/container')}
            onChange={(event) => form.set({ container: event.target.value })}
          >
            {containerForms.map((one) => (
              <option key={one} value={one}>
                {t(CONTAINER_WORDS[one])}
              </option>
            ))}
          </SelectField>
          <SelectField
            label={t('field.carrier')}
            hint={t('farm.carrierHint')}
            value={form.values.carrier}
            error={form.error('/carrier')}
            onChange={(event) => form.set({ carrier: event.target.value })}
          >
            {carriers.map((one) => (
              <option key={one} value={one}>
                {t(CARRIER_WORDS[one])}
              </option>
            ))}
          </SelectField>
          <TextField
            label={t('field.volume')}
            unit={t('unit.ml')}
            inputMode="numeric"
            required
            {...form.box('volumeMl')}
          />
          <TextField
            label={t('field.ripeMass')}
            hint={t('farm.workedOutHint')}
            unit={t('unit.g')}
            inputMode="decimal"
            {...form.box('ripeGrams')}
          />
          <TextField
            label={t('field.cleanEmpty')}
            hint={t('farm.cleanHint')}
            unit={t('unit.jars')}
            inputMode="numeric"
            {...form.box('cleanEmpty')}
          />
          <TextField
            label={t('field.inoculumFactor')}
            hint={t('farm.inoculumFactorHint')}
            inputMode="decimal"
            {...form.box('inoculumFactor')}
          />
          <TextField label={t('field.vesselPlacesOfSize')} inputMode="numeric" {...form.box('vesselPlaces')} />
          <TextField label={t('field.shelfPlacesOfSize')} inputMode="numeric" {...form.box('shelfPlaces')} />
        </div>
      </ThingForm>
    </SideSheet>
  );
}

function sizeValues(size: ContainerSizeJson | null) {
  const own = (sourced: { readonly origin: string; readonly value: number } | undefined) =>
    sourced?.origin === 'farm' ? String(sourced.value) : '';
  return {
    name: size?.name ?? '',
    container: String(size?.container ?? 'jar'),
    carrier: String(size?.carrier ?? 'grain'),
    volumeMl: String(size?.volumeMl ?? ''),
    ripeGrams: own(size?.ripeGrams),
    cleanEmpty: String(size?.cleanEmpty ?? ''),
    inoculumFactor: String(size?.inoculumFactor ?? 1),
    vesselPlaces: String(size?.vesselPlaces ?? 1),
    shelfPlaces: String(size?.shelfPlaces ?? 1),
    archived: size?.archived ?? false,
  };
}

function sizeBody(values: ReturnType<typeof sizeValues>): Record<string, unknown> {
  return {
    ...(values.name.trim() ? { name: values.name.trim() } : {}),
    container: values.container,
    carrier: values.carrier,
    volumeMl: readNumber(values.volumeMl) ?? Number.NaN,
    ripeGrams: readNumber(values.ripeGrams),
    cleanEmpty: readNumber(values.cleanEmpty),
    inoculumFactor: readNumber(values.inoculumFactor) ?? Number.NaN,
    vesselPlaces: readNumber(values.vesselPlaces) ?? Number.NaN,
    shelfPlaces: readNumber(values.shelfPlaces) ?? Number.NaN,
  };
}
