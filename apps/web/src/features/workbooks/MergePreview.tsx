import type { ApplyReturnedBook, ReturnedBookPreview } from '@jarfold/contracts';
import { t } from '../../messages/translate.js';
import { DataTable } from '../../ui/DataTable.js';
import { SideChoice } from './SideChoice.js';

export type Choices = NonNullable<ApplyReturnedBook['choices']>;

interface PreviewProps {
  readonly preview: ReturnedBookPreview;
  readonly choices: Choices;
  readonly onChoose: (choices: Choices) => void;
}

/** Everything a returned workbook would change, and what has to be chosen first. */
export function MergePreview(props: PreviewProps) {
  const { changes, added, deletes } = props.preview;
  return (
    <>
      <Conflicts {...props} />
      <DeleteConflicts {...props} />
      <Copies {...props} />
      {changes.length > 0 && (
        <DataTable
          caption={t('workbooks.changes')}
          rows={changes}
          rowKey={({ key, column }) => `${key}/${column}`}
          columns={[
            { key: 'row', head: t('column.forRun'), cell: ({ row }) => row },
            { key: 'column', head: t('column.forColumn'), cell: ({ heading }) => heading },
            { key: 'from', head: t('column.changedFrom'), cell: ({ from }) => shown(from) },
            { key: 'to', head: t('column.changedTo'), cell: ({ to }) => shown(to) },
            { key: 'place', head: t('column.inCell'), cell: ({ place }) => place },
          ]}
        />
      )}
      {added.length > 0 && (
        <section>
          <h3>{t('workbooks.addedRuns')}</h3>
          <ul>
            {added.map(({ place, values }) => (
              <li key={place}>{t('workbooks.addedRun', { place, values: valuesText(values) })}</li>
            ))}
          </ul>
        </section>
      )}
      {deletes.length > 0 && (
        <section>
          <h3>{t('workbooks.cancelledRuns')}</h3>
          <ul>
            {deletes.map(({ key, row }) => (
              <li key={key}>{row}</li>
            ))}
          </ul>
        </section>
      )}
    </>
  );
}

function Conflicts({ preview, choices, onChoose }: PreviewProps) {
  if (preview.conflicts.length === 0) return null;
  return (
    <section>
      <h3>{t('workbooks.conflicts')}</h3>
      <p>{t('workbooks.conflictsHint')}</p>
      {columnsOf(preview).map(([column, heading]) => (
        <div key={column} className="workbook-list__item">
          <span>{t('workbooks.wholeColumn', { heading })}</span>
          <SideChoice
            legend={t('workbooks.wholeColumn', { heading })}
            value={choices.cells?.[`*/${column}`] ?? 'each'}
            options={[
              ['each', t('workbooks.eachItself')],
              ['ours', t('workbooks.allOurs')],
              ['theirs', t('workbooks.allTheirs')],
            ]}
            onChange={(side) => onChoose({ ...choices, cells: cellsWithColumn(choices.cells, column, side) })}
          />
        </div>
      ))}
      <DataTable
        caption={t('workbooks.conflicts')}
        rows={preview.conflicts}
        rowKey={({ key, column }) => `${key}/${column}`}
        columns={[
          { key: 'row', head: t('column.forRun'), cell: ({ row }) => row },
          { key: 'column', head: t('column.forColumn'), cell: ({ heading }) => heading },
          { key: 'base', head: t('column.changedFrom'), cell: ({ base }) => shown(base) },
          {
            key: 'side',
            head: t('column.whichSide'),
            cell: ({ key, column, row, heading, ours, theirs }) => (
              <SideChoice
                legend={t('workbooks.choiceFor', { heading, row })}
                value={choices.cells?.[`${key}/${column}`] ?? choices.cells?.[`*/${column}`] ?? 'ours'}
                options={[
                  ['ours', t('workbooks.takeOurs', { value: shown(ours) })],
                  ['theirs', t('workbooks.takeTheirs', { value: shown(theirs) })],
                ]}
                onChange={(side) => onChoose({ ...choices, cells: { ...choices.cells, [`${key}/${column}`]: side } })}
              />
            ),
          },
        ]}
      />
    </section>
  );
}

/** Columns in which more than one cell is in conflict. */
function columnsOf({ conflicts }: ReturnedBookPreview): (readonly [column: string, heading: string])[] {
  const headings = new Map(conflicts.map(({ column, heading }) => [column, heading]));
  return [...headings].filter(([column]) => conflicts.filter((each) => each.column === column).length > 1);
}

/** A side for a whole column takes the place of what was said cell by cell. */
function cellsWithColumn(cells: Choices['cells'], column: string, side: 'each' | 'ours' | 'theirs') {
  const others = Object.entries(cells ?? {}).filter(([place]) => !place.endsWith(`/${column}`));
  return Object.fromEntries(side === 'each' ? others : [...others, [`*/${column}`, side] as const]);
}

function DeleteConflicts({ preview, choices, onChoose }: PreviewProps) {
  return preview.deleteConflicts.map(({ key, kind, row, headings }) => (
    <div key={key}>
      <p>
        {kind === 'gone-here'
          ? t('workbooks.goneHere', { row })
          : t('workbooks.deletedInFile', { row, headings: headings.join(', ') })}
      </p>
      {kind === 'deleted-in-file' && (
        <SideChoice
          legend={row}
          value={choices.rows?.[key] ?? 'ours'}
          options={[
            ['ours', t('workbooks.keepRunHere')],
            ['theirs', t('workbooks.cancelAnyway')],
          ]}
          onChange={(side) => onChoose({ ...choices, rows: { ...choices.rows, [key]: side } })}
        />
      )}
    </div>
  ));
}

function Copies({ preview, choices, onChoose }: PreviewProps) {
  if (preview.copies.length === 0) return null;
  return (
    <section>
      <h3>{t('workbooks.copies')}</h3>
      {preview.copies.map(({ place, row, same, explanation }) => (
        <div key={place}>
          <p>{explanation}</p>
          {!same && (
            <SideChoice
              legend={row}
              value={choices.copies?.[place] ?? 'leave-out'}
              options={[
                ['leave-out', t('workbooks.leaveOut')],
                ['add', t('workbooks.addAsRun')],
              ]}
              onChange={(side) => onChoose({ ...choices, copies: { ...choices.copies, [place]: side } })}
            />
          )}
        </div>
      ))}
    </section>
  );
}

const shown = (value: string | number | boolean | null): string =>
  value === null ? t('workbooks.blank') : String(value);

const valuesText = (values: Readonly<Record<string, string | number | boolean | null>>): string =>
  Object.entries(values)
    .filter(([, value]) => value !== null)
    .map(([heading, value]) => `${heading} ${String(value)}`)
    .join(', ');
