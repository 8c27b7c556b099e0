import type { PlanChangesJson } from '@jarfold/contracts';
import { t } from '../../messages/translate.js';
import { DataTable } from '../../ui/DataTable.js';
import { formatCount, formatDay, formatMass, formatShare } from '../../ui/format/index.js';
import { nearStarts, tellingRuns } from './telling-changes.js';

type StartChange = PlanChangesJson['starts'][number];
type RunChange = PlanChangesJson['runs'][number];

interface Heads {
  /** Heading of the plan it is compared with. */
  readonly before: string;
  /** Heading of the later or supposed plan; it tells the tables of one page apart. */
  readonly now: string;
}

/** Two plans side by side: only what differs, and first of that what somebody would decide by. */
export function ChangeTables({ starts, runs, ...heads }: Pick<PlanChangesJson, 'starts' | 'runs'> & Heads) {
  const startsTold = nearStarts(starts);
  const runsTold = tellingRuns(runs);
  const further = startsTold.rest[0]?.benchDay;
  return (
    <>
      <RunTable {...heads} table={t('screen.runs')} runs={runsTold.first} />
      {runsTold.rest.length > 0 && (
        <details className="more">
          <summary>{t('plan.smallChanges', { count: runsTold.rest.length })}</summary>
          <RunTable {...heads} table={t('plan.runsHardly')} runs={runsTold.rest} />
        </details>
      )}
      <StartTable {...heads} table={t('plan.starts')} starts={startsTold.first} />
      {further && (
        <details className="more">
          <summary>{t('plan.laterChanges', { count: startsTold.rest.length, day: formatDay(further) })}</summary>
          <StartTable {...heads} table={t('plan.startsLater')} starts={startsTold.rest} />
        </details>
      )}
    </>
  );
}

function StartTable({
  table,
  starts,
  before: headOfBefore,
  now,
}: Heads & { readonly table: string; readonly starts: readonly StartChange[] }) {
  if (starts.length === 0) return null;
  return (
    <DataTable
      caption={t('plan.tableBeside', { table, now })}
      rows={starts}
      rowKey={({ benchDay, strain, generation, size }) => [benchDay, strain, generation, size].join(' ')}
      columns={[
        { key: 'day', head: t('column.benchDay'), cell: ({ benchDay }) => formatDay(benchDay) },
        {
          key: 'strain',
          head: t('column.strain'),
          cell: ({ strain, generation, size }) => t('plan.startOf', { strain, generation, size }),
        },
        { key: 'before', head: headOfBefore, numeric: true, cell: ({ before }) => formatCount(before) },
        { key: 'now', head: now, numeric: true, cell: (row) => formatCount(row.now) },
      ]}
    />
  );
}

function RunTable({
  table,
  runs,
  before: headOfBefore,
  now,
}: Heads & { readonly table: string; readonly runs: readonly RunChange[] }) {
  if (runs.length === 0) return null;
  return (
    <DataTable
      caption={t('plan.tableBeside', { table, now })}
      rows={runs}
      rowKey={({ run }) => run}
      columns={[
        { key: 'run', head: t('column.run'), cell: ({ run }) => run },
        { key: 'before', head: headOfBefore, cell: ({ before }) => standsWords(before) },
        { key: 'now', head: now, cell: (row) => standsWords(row.now) },
      ]}
    />
  );
}

function standsWords(stands: RunChange['now']): string {
  if (stands === null) return t('plan.runGone');
  const { day, coveredGrams, probability } = stands;
  const likely = probability === null ? '' : t('plan.runLikely', { likely: formatShare(probability) });
  return t('plan.runStands', { day: formatDay(day), mass: formatMass(coveredGrams), likely });
}
