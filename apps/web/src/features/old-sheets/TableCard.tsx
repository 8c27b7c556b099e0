import type { OldSheetsTable, TableMappingJson } from '@jarfold/contracts';
import { fieldsOf, mappingAs, type SheetField, type TableUse } from '@jarfold/domain';
import { t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { SelectField } from '../../ui/Field.js';
import { Panel } from '../../ui/Panel.js';
import { WrittenForAllRows } from './ForAllRows.js';
import { FIELD_WORDS, USE_WORDS } from './field-words.js';
import { UnitQuestion } from './UnitQuestion.js';

interface CardProps {
  readonly table: OldSheetsTable;
  readonly mapping: TableMappingJson;
  readonly onChange: (change: Partial<TableMappingJson>) => void;
}

/** One table of the file: what it holds, what each column says, and its first rows as they stand. */
export function TableCard({ table, mapping, onChange }: CardProps) {
  const { use } = mapping;
  return (
    <Panel
      title={titleOf(table)}
      aside={<span className="soft">{t('oldSheets.tableRows', { rows: table.rows })}</span>}
    >
      {table.hidden && <p>{t('oldSheets.hidden')}</p>}
      <SelectField
        label={t('field.tableHolds')}
        value={use}
        onChange={({ target }) => onChange(guessAs(table, target.value as TableMappingJson['use']))}
      >
        {Object.entries(USE_WORDS).map(([value, key]) => (
          <option key={value} value={value}>
            {t(key)}
          </option>
        ))}
      </SelectField>
      {use !== 'leave-out' && <ColumnFields table={table} mapping={{ ...mapping, use }} onChange={onChange} />}
      {use !== 'leave-out' && <SaidForAllRows mapping={mapping} onChange={onChange} />}
    </Panel>
  );
}

const titleOf = ({ sheet, title }: OldSheetsTable): string =>
  title === null ? sheet : t('oldSheets.tableTitle', { sheet, title });

/** The guess for a table once somebody has said what it holds. */
function guessAs({ key, sheet, hidden, title, headRow, columns }: OldSheetsTable, use: TableMappingJson['use']) {
  const found = { key, sheet, hidden, title, headRow, columns, rows: [], leftOut: [] };
  return mappingAs(found, use) as unknown as TableMappingJson;
}

function ColumnFields({
  table,
  mapping,
  onChange,
}: CardProps & { readonly mapping: TableMappingJson & { use: TableUse } }) {
  const fields = Object.keys(fieldsOf[mapping.use]) as SheetField[];
  const choose = (column: number, value: string) => {
    // A field other than a note belongs to one column: the other one lets go of it.
    const others = Object.entries(mapping.columns).map(([other, field]) =>
      field === value && field !== 'note' && field !== 'leave-out' ? [other, 'leave-out'] : [other, field],
    );
    onChange({ columns: { ...Object.fromEntries(others), [String(column)]: value as SheetField | 'leave-out' } });
  };
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a box that scrolls must be reachable by keyboard.
    <section className="table-box" tabIndex={0} aria-label={t('oldSheets.sampleOf', { sheet: titleOf(table) })}>
      <table className="old-sheets__columns">
        <caption className="visually-hidden">{t('oldSheets.columns')}</caption>
        <thead>
          <tr>
            <th scope="col">{t('oldSheets.rowNumber')}</th>
            {table.columns.map(({ column, letters, heading }) => (
              <th key={column} scope="col">
                <span className="old-sheets__heading">{`${letters} · ${heading}`}</span>
                <SelectField
                  label={t('field.columnSays', { letters })}
                  value={mapping.columns[String(column)] ?? 'leave-out'}
                  onChange={({ target }) => choose(column, target.value)}
                >
                  <option value="leave-out">{t('field.leaveColumnOut')}</option>
                  {fields.map((field) => (
                    <option key={field} value={field}>
                      {t(FIELD_WORDS[field])}
                    </option>
                  ))}
                </SelectField>
                <UnitOf column={column} mapping={mapping} onChange={onChange} />
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {table.sample.map(({ row, shows }) => (
            <tr key={row}>
              <th scope="row">{row}</th>
              {table.columns.map(({ column }, at) => (
                <td key={column}>{shows[at]}</td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

/** The unit of a column that has one; asked for below while nobody has said it. */
function UnitOf({ column, mapping, onChange }: Omit<CardProps, 'table'> & { readonly column: number }) {
  const field = mapping.columns[String(column)];
  if (field === undefined || field === 'leave-out') return null;
  return <UnitQuestion field={field} mapping={mapping} onChange={onChange} />;
}

/** What was said for rows that leave a field blank; and the day jars went, which only jars that are gone need. */
function SaidForAllRows({ mapping, onChange }: Omit<CardProps, 'table'>) {
  const { use, columns, forAllRows } = mapping;
  const said = Object.entries(forAllRows) as [SheetField, string][];
  const asksForGone = use === 'jars' && forAllRows.goneOn === undefined && !Object.values(columns).includes('goneOn');
  const without = (field: SheetField) =>
    onChange({ forAllRows: Object.fromEntries(said.filter(([other]) => other !== field)) });
  return (
    <>
      {said.map(([field, text]) => (
        <p key={field}>
          {t('oldSheets.saidForAll', { field: t(FIELD_WORDS[field]), text })}{' '}
          <Button look="quiet" onClick={() => without(field)}>
            {t('command.sayAnew')}
            <span className="visually-hidden"> {t(FIELD_WORDS[field])}</span>
          </Button>
        </p>
      ))}
      {asksForGone && <WrittenForAllRows field="goneOn" mapping={mapping} onChange={onChange} />}
    </>
  );
}
