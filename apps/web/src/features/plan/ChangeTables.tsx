import type { PlanChangesJson } from '@jarfold/contracts';
import { t } from '../../messages/translate.js';
import { DataTable } from '../../ui/DataTable.js';
import { formatCount, formatDay, formatMass, formatShare } from '../../ui/format/index.js';

type RunChange = PlanChangesJson['runs'][number];

/** Two plans side by side: only what differs. */
export function ChangeTables({
  starts,
  runs,
  before: headOfBefore,
  now,
}: {
  readonly starts: PlanChangesJson['starts'];
  readonly runs: PlanChangesJson['runs'];
  /** Heading of the plan it is compared with. */
  readonly before: string;
  /** Heading of the later or supposed plan; it tells the tables of one page apart. */
  readonly now: string;
}) {
  return (
    <>
      {starts.length > 0 && (
        <DataTable
          caption={t('plan.tableBeside', { table: t('plan.starts'), now })}
          rows={starts}
          rowKey={({ benchDay, strain, generation, size }) => [benchDay, strain, generation, size].join(' ')}
          columns={[
            { key: 'day', head: t('column.benchDay'), cell: ({ benchDay }) => formatDay(benchDay) },
            {
              key: 'strain',
              head: t('column.strain'),
              cell: ({ strain, generation, size }) => `${strain} G${generation} ${size}`,
            },
            { key: 'before', head: headOfBefore, numeric: true, cell: ({ before }) => formatCount(before) },
            { key: 'now', head: now, numeric: true, cell: (row) => formatCount(row.now) },
          ]}
        />
      )}
      {runs.length > 0 && (
        <DataTable
          caption={t('plan.tableBeside', { table: t('screen.runs'), now })}
          rows={runs}
          rowKey={({ run }) => run}
          columns={[
            { key: 'run', head: t('column.run'), cell: ({ run }) => run },
            { key: 'before', head: headOfBefore, cell: ({ before }) => standsWords(before) },
            { key: 'now', head: now, cell: (row) => standsWords(row.now) },
          ]}
        />
      )}
    </>
  );
}

function standsWords(stands: RunChange['now']): string {
  if (stands === null) return t('plan.runGone');
  const { day, coveredGrams, probability } = stands;
  const likely = probability === null ? '' : t('plan.runLikely', { likely: formatShare(probability) });
  return t('plan.runStands', { day: formatDay(day), mass: formatMass(coveredGrams), likely });
}
