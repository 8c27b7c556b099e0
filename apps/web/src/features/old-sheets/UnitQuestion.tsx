import type { TableMappingJson } from '@jarfold/contracts';
import { fieldSpec, type SheetField, type SheetUnit, unitsOf } from '@jarfold/domain';
import { t } from '../../messages/translate.js';
import { SelectField } from '../../ui/Field.js';
import { FIELD_WORDS, UNIT_WORDS } from './field-words.js';

/** The unit of a field, where neither heading nor cells name one; beside a column it can be changed afterwards. */
export function UnitQuestion({
  field,
  mapping,
  onChange,
}: {
  readonly field: SheetField;
  readonly mapping: TableMappingJson;
  readonly onChange: (change: Partial<TableMappingJson>) => void;
}) {
  const spec = mapping.use === 'leave-out' ? undefined : fieldSpec(mapping.use, field);
  const units = spec === undefined ? [] : unitsOf(spec);
  if (units.length === 0) return null;
  return (
    <SelectField
      label={t('field.unitOf', { field: t(FIELD_WORDS[field]) })}
      value={mapping.units[field] ?? ''}
      onChange={({ target }) => onChange({ units: { ...mapping.units, [field]: target.value as SheetUnit } })}
    >
      {mapping.units[field] === undefined && <option value="">{t('text.choose')}</option>}
      {units.map((unit) => (
        <option key={unit} value={unit}>
          {t(UNIT_WORDS[unit])}
        </option>
      ))}
    </SelectField>
  );
}
