import type { Farm, OldSheetsPreview, SheetQuestionJson, TableMappingJson } from '@jarfold/contracts';
import { type WordField, type WordMeaning, wordKey } from '@jarfold/domain';
import { t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { SelectField } from '../../ui/Field.js';
import { Panel } from '../../ui/Panel.js';
import { ForAllRows } from './ForAllRows.js';
import { COUNT_WORDS, DAY_ORDER_WORDS, MARK_WORDS } from './field-words.js';
import { UnitQuestion } from './UnitQuestion.js';
import { WordQuestion } from './WordQuestion.js';
import { knownWords } from './word-options.js';

interface QuestionsProps {
  readonly farm: Farm;
  readonly preview: OldSheetsPreview;
  readonly mapping: Readonly<Record<string, TableMappingJson>>;
  readonly onChange: (table: string, change: Partial<TableMappingJson>) => void;
  /** Says what a word means in every table that asks about it. */
  readonly onWord: (tables: readonly string[], field: WordField, word: string, meaning: WordMeaning) => void;
}

/** What only the farm can say, and what it has said of the file's words. */
export function OpenQuestions({ farm, preview, mapping, onChange, onWord }: QuestionsProps) {
  const { questions, tables } = preview;
  const nameOf = (key: string) => {
    const table = tables.find((each) => each.key === key);
    return table === undefined ? key : [table.sheet, table.title].filter(Boolean).join(': ');
  };
  const known = tables.flatMap(({ key }) => knownWords(key, mapping[key]!));
  return (
    <>
      {questions.length > 0 && (
        <Panel title={t('oldSheets.questions', { count: questions.length })}>
          <p>{t('oldSheets.questionsHint')}</p>
          <ul className="plain old-sheets__questions">
            {questions.map((question) => (
              <li key={[question.table, question.about, question.field, question.word].join('/')}>
                <p className="soft">{nameOf(question.table)}</p>
                <Question
                  farm={farm}
                  preview={preview}
                  question={question}
                  mapping={mapping[question.table]!}
                  onChange={(change) => onChange(question.table, change)}
                  onMean={(field, word, meaning) => onWord(tablesAsking(questions, field, word), field, word, meaning)}
                />
                <Examples question={question} />
              </li>
            ))}
          </ul>
        </Panel>
      )}
      {known.length > 0 && (
        <Panel title={t('oldSheets.words')}>
          <ul className="plain old-sheets__words">
            {known.map(({ table, field, word }) => (
              <li key={[table, field, word].join('/')}>
                <WordQuestion
                  {...{ farm, preview, field, word }}
                  mapping={mapping[table]!}
                  onMean={(meaning) => onWord([table], field, word, meaning)}
                />
              </li>
            ))}
          </ul>
        </Panel>
      )}
    </>
  );
}

const tablesAsking = (questions: readonly SheetQuestionJson[], field: WordField, word: string): readonly string[] =>
  questions
    .filter((each) => each.field === field && each.word !== null && wordKey(each.word) === wordKey(word))
    .map(({ table }) => table);

interface OneProps {
  readonly farm: Farm;
  readonly preview: OldSheetsPreview;
  readonly question: SheetQuestionJson;
  readonly mapping: TableMappingJson;
  readonly onChange: (change: Partial<TableMappingJson>) => void;
  readonly onMean: (field: WordField, word: string, meaning: WordMeaning) => void;
}

function Question({ farm, preview, question, mapping, onChange, onMean }: OneProps) {
  const { about, field, word, suggestion } = question;
  switch (about) {
    case 'day-order':
      return (
        <Choice
          label={t('field.dayOrder')}
          words={DAY_ORDER_WORDS}
          suggestion={suggestion}
          onPick={(dayOrder) => onChange({ dayOrder })}
        />
      );
    case 'decimal-mark':
      return (
        <Choice
          label={t('field.decimalMark')}
          words={MARK_WORDS}
          suggestion={suggestion}
          onPick={(decimalMark) => onChange({ decimalMark })}
        />
      );
    case 'day-count':
      return (
        <Choice
          label={t('field.dayCount')}
          words={COUNT_WORDS}
          suggestion={suggestion}
          onPick={(dayCount) => onChange({ dayCount })}
        />
      );
    case 'unit':
      return field === null ? null : <UnitQuestion field={field} mapping={mapping} onChange={onChange} />;
    case 'missing-field':
      return field === null ? null : (
        <ForAllRows farm={farm} preview={preview} field={field} mapping={mapping} onChange={onChange} />
      );
    case 'word':
      return field === null || word === null ? null : (
        <WordQuestion
          {...{ farm, preview, word, mapping, suggestion }}
          field={field as WordField}
          rows={question.rows}
          onMean={(meaning) => onMean(field as WordField, word, meaning)}
        />
      );
  }
}

function Choice<Value extends string>({
  label,
  words,
  suggestion,
  onPick,
}: {
  readonly label: string;
  readonly words: Readonly<Record<Value, Parameters<typeof t>[0]>>;
  readonly suggestion: string | null;
  readonly onPick: (value: Value) => void;
}) {
  const options = Object.keys(words) as Value[];
  const speaksFor = options.find((option) => option === suggestion);
  return (
    <div className="old-sheets__choice">
      <SelectField label={label} value="" onChange={({ target }) => onPick(target.value as Value)}>
        <option value="">{t('text.choose')}</option>
        {options.map((option) => (
          <option key={option} value={option}>
            {t(words[option])}
          </option>
        ))}
      </SelectField>
      {speaksFor !== undefined && (
        <p>
          {t('oldSheets.suggestion', { what: t(words[speaksFor]) })}{' '}
          <Button onClick={() => onPick(speaksFor)}>{t('command.useSuggestion')}</Button>
        </p>
      )}
    </div>
  );
}

function Examples({ question }: { readonly question: SheetQuestionJson }) {
  const told = question.examples.filter(({ readings }) => readings.length > 0);
  if (told.length === 0) return null;
  return (
    <ul className="plain soft">
      {told.map(({ cell, shows, readings }) => (
        <li key={cell}>{t('oldSheets.readAs', { cell, shows, readings: readings.join(' / ') })}</li>
      ))}
    </ul>
  );
}
