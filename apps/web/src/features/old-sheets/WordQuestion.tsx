import type { Farm, OldSheetsPreview, TableMappingJson } from '@jarfold/contracts';
import { type WordField, type WordMeaning, wordKey } from '@jarfold/domain';
import { useState } from 'react';
import { useRuns } from '../../api/runs.js';
import { t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { SelectField } from '../../ui/Field.js';
import { formatDay } from '../../ui/format/index.js';
import { NewThing } from './NewThing.js';
import { optionOf, wordOptions } from './word-options.js';

interface WordProps {
  readonly farm: Farm;
  readonly preview: OldSheetsPreview;
  readonly field: WordField;
  readonly word: string;
  readonly mapping: TableMappingJson;
  readonly onMean: (meaning: WordMeaning) => void;
  readonly suggestion?: string | null;
  /** Rows with the word, where it is asked about. */
  readonly rows?: number;
}

/** What a word of the file stands for: something of the farm, something new, or rows to leave out. */
export function WordQuestion({ farm, preview, field, word, mapping, onMean, suggestion = null, rows }: WordProps) {
  const [makingNew, setMakingNew] = useState(false);
  const runs = useRuns('all');
  const toChoose = (runs.data?.items ?? []).map(({ id, name, day }) => ({
    ...{ id, name },
    shown: t('oldSheets.runOfFarm', { name, day: formatDay(day) }),
  }));
  const options = wordOptions(field, farm, preview, toChoose);
  const meaning = mapping.words[field]?.[wordKey(word)] as WordMeaning | undefined;
  const say = (said: WordMeaning) => {
    setMakingNew(false);
    onMean(said);
  };
  const choose = (value: string) => {
    if (value === 'make-new') return setMakingNew(true);
    if (value === 'leave-out') return say({ to: 'leave-out' });
    const option = options.find((each) => each.value === value);
    if (option !== undefined) say(option.meaning);
  };
  const suggested = options.find(({ value }) => value === suggestion);
  const canBeNew = field === 'strain' || field === 'size' || field === 'place';
  return (
    <div className="old-sheets__choice">
      <SelectField
        label={t('field.wordMeans', { word })}
        hint={rows === undefined ? undefined : t('oldSheets.rowsWithIt', { rows })}
        value={makingNew ? 'make-new' : meaning === undefined ? '' : optionOf(meaning)}
        onChange={({ target }) => choose(target.value)}
      >
        {meaning === undefined && <option value="">{t('text.choose')}</option>}
        {meaning !== undefined && optionOf(meaning) === 'made-new' && (
          <option value="made-new">{newLabel(meaning)}</option>
        )}
        {options.map(({ value, label }) => (
          <option key={value} value={value}>
            {label}
          </option>
        ))}
        {canBeNew && <option value="make-new">{t('oldSheets.makeNew')}</option>}
        <option value="leave-out">{t(field === 'place' ? 'oldSheets.leavePlaceOut' : 'oldSheets.leaveWordOut')}</option>
      </SelectField>
      {suggested !== undefined && meaning === undefined && !makingNew && (
        <p>
          {suggested.label} <Button onClick={() => say(suggested.meaning)}>{t('command.useSuggestion')}</Button>
        </p>
      )}
      {makingNew && canBeNew && <NewThing field={field} word={word} onMake={say} />}
    </div>
  );
}

function newLabel(meaning: WordMeaning): string {
  if (meaning.to === 'new-strain') return t('oldSheets.newStrain', { code: meaning.code, name: meaning.name });
  return 'name' in meaning ? t('oldSheets.newThing', { name: meaning.name }) : '';
}
