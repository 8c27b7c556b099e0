import type { Farm, OldSheetsPreview, TableMappingJson } from '@jarfold/contracts';
import { fieldSpec, type SheetField, type WordField, wordKey } from '@jarfold/domain';
import { type ChangeEvent, useState } from 'react';
import { t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { DayField, SelectField, TextField } from '../../ui/Field.js';
import { FIELD_WORDS } from './field-words.js';
import { wordOptions } from './word-options.js';

interface ForAllProps {
  readonly farm: Farm;
  readonly preview: OldSheetsPreview;
  readonly field: SheetField;
  readonly mapping: TableMappingJson;
  readonly onChange: (change: Partial<TableMappingJson>) => void;
}

/** What counts for every row that says nothing itself: chosen from the farm's own things, or written. */
export function ForAllRows({ farm, preview, field, mapping, onChange }: ForAllProps) {
  const spec = mapping.use === 'leave-out' ? undefined : fieldSpec(mapping.use, field);
  if (spec?.reading !== 'words') return <WrittenForAllRows field={field} mapping={mapping} onChange={onChange} />;
  const options = wordOptions(field as WordField, farm, preview, []);
  const sayKnown = (value: string) => {
    const option = options.find((each) => each.value === value);
    if (option === undefined) return;
    // The farm's own thing is said by its name, and the name is given its meaning at once.
    const words = { ...mapping.words[field as WordField], [wordKey(option.label)]: option.meaning };
    onChange({
      forAllRows: { ...mapping.forAllRows, [field]: option.label },
      words: { ...mapping.words, [field]: words } as TableMappingJson['words'],
    });
  };
  return (
    <div className="old-sheets__new">
      {options.length > 0 && (
        <SelectField label={labelOf(field)} value="" onChange={({ target }) => sayKnown(target.value)}>
          <option value="">{t('text.choose')}</option>
          {options.map(({ value, label }) => (
            <option key={value} value={value}>
              {label}
            </option>
          ))}
        </SelectField>
      )}
      {field !== 'state' && <WrittenForAllRows field={field} mapping={mapping} onChange={onChange} />}
    </div>
  );
}

const labelOf = (field: SheetField) => t('field.forAllRows', { field: t(FIELD_WORDS[field]) });

/** A word, a number or a day that counts for all rows, as one would write it into a cell. */
export function WrittenForAllRows({ field, mapping, onChange }: Pick<ForAllProps, 'field' | 'mapping' | 'onChange'>) {
  const spec = mapping.use === 'leave-out' ? undefined : fieldSpec(mapping.use, field);
  const [text, setText] = useState('');
  if (spec === undefined) return null;
  const label = spec.reading === 'words' ? t('field.inYourWords') : labelOf(field);
  const box = { label, value: text, onChange: ({ target }: ChangeEvent<HTMLInputElement>) => setText(target.value) };
  return (
    <div className="old-sheets__new">
      {spec.reading === 'day' ? <DayField {...box} /> : <TextField {...box} />}
      <Button
        disabled={text.trim() === ''}
        onClick={() => onChange({ forAllRows: { ...mapping.forAllRows, [field]: text.trim() } })}
      >
        {t('command.useThis')}
      </Button>
    </div>
  );
}
