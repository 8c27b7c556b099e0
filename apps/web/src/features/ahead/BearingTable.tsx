import type { BearingJson } from '@jarfold/contracts';
import { t } from '../../messages/translate.js';
import { DataTable } from '../../ui/DataTable.js';
import { formatCount, formatNumber, formatShare } from '../../ui/format/index.js';
import { Panel } from '../../ui/Panel.js';
import { StrainCell } from '../rates/StrainCell.js';

const exact = (days: number): string => formatNumber(Math.round(days * 10) / 10);

/** What the forecast rests on, strain by strain. */
export function BearingTable({
  title,
  bearings,
}: {
  readonly title: string;
  readonly bearings: readonly BearingJson[];
}) {
  return (
    <Panel title={title}>
      <p className="soft">{t('ahead.bearingLead')}</p>
      <DataTable
        caption={title}
        rows={bearings}
        rowKey={({ strainId }) => strainId}
        columns={[
          { key: 'strain', head: t('column.strain'), cell: StrainCell },
          {
            key: 'be',
            head: t('column.efficiency'),
            numeric: true,
            cell: ({ efficiency: { value, low, high } }) =>
              t('rates.withInterval', { value: formatShare(value), low: formatShare(low), high: formatShare(high) }),
          },
          {
            key: 'first',
            head: t('column.firstHarvest'),
            numeric: true,
            cell: ({ daysToFirstHarvest }) => exact(daysToFirstHarvest),
          },
          {
            key: 'between',
            head: t('column.betweenFlushes'),
            numeric: true,
            cell: ({ daysBetweenFlushes }) => exact(daysBetweenFlushes),
          },
          {
            key: 'flushes',
            head: t('column.flushes'),
            cell: ({ shares }) => shares.map((share) => formatShare(share)).join(', '),
          },
          { key: 'runs', head: t('column.runs'), numeric: true, cell: ({ runs }) => formatCount(runs) },
        ]}
      />
    </Panel>
  );
}
