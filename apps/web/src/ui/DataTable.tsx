import './data-table.css';
import type { ReactNode } from 'react';
import { t } from '../messages/translate.js';

export interface Column<Row> {
  readonly key: string;
  readonly head: string;
  readonly numeric?: boolean;
  /** Sentences rather than a word: kept wide enough to be read where the table scrolls. */
  readonly prose?: boolean;
  /** The first column names the row for those who hear the table. */
  readonly cell: (row: Row) => ReactNode;
}

/** A table that scrolls sideways in its own box on a narrow screen, so that the page itself never does. */
export function DataTable<Row>({
  caption,
  columns,
  rows,
  rowKey,
}: {
  readonly caption: string;
  readonly columns: readonly Column<Row>[];
  readonly rows: readonly Row[];
  readonly rowKey: (row: Row) => string;
}) {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a box that scrolls must be reachable by keyboard.
    <section className="table-box" tabIndex={0} aria-label={t('text.tableOf', { caption })}>
      <table>
        <caption className="visually-hidden">{caption}</caption>
        <thead>
          <tr>
            {columns.map((column) => (
              <th key={column.key} scope="col" className={column.numeric ? 'is-number' : undefined}>
                {column.head}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {rows.map((row) => (
            <tr key={rowKey(row)}>
              {columns.map((column, index) =>
                index === 0 ? (
                  <th key={column.key} scope="row">
                    {column.cell(row)}
                  </th>
                ) : (
                  <td key={column.key} className={column.numeric ? 'is-number' : column.prose ? 'is-prose' : undefined}>
                    {column.cell(row)}
                  </td>
                ),
              )}
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}
