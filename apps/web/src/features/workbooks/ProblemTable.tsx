import type { FileProblemJson } from '@jarfold/contracts';
import { t } from '../../messages/translate.js';
import { DataTable } from '../../ui/DataTable.js';

/** What is wrong with a file, place by place. */
export function ProblemTable({ problems }: { readonly problems: readonly FileProblemJson[] }) {
  const rows = problems.map((problem, at) => ({ ...problem, at }));
  return (
    <DataTable
      caption={t('workbooks.tableProblems')}
      rows={rows}
      rowKey={({ at }) => String(at)}
      columns={[
        {
          key: 'cell',
          head: t('column.inCell'),
          cell: ({ sheet, cell }) => [sheet, cell].filter(Boolean).join('!') || t('workbooks.theFile'),
        },
        { key: 'column', head: t('column.forColumn'), cell: ({ column }) => column },
        { key: 'value', head: t('column.changedTo'), cell: ({ value }) => value },
        { key: 'advice', head: t('column.whatToDo'), cell: ({ rule, advice }) => `${rule} ${advice}` },
      ]}
    />
  );
}
