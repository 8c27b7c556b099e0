import type { BearingJson } from '@jarfold/contracts';
import { t } from '../../messages/translate.js';
import { DataTable } from '../../ui/DataTable.js';
import { formatCount, formatShare, formatTenths } from '../../ui/format/index.js';
import { Panel } from '../../ui/Panel.js';
import { withInterval } from '../rates/estimate-words.js';
import { StrainCell } from '../rates/StrainCell.js';

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
            cell: ({ efficiency }) => withInterval(efficiency, formatShare),
          },
          {
            key: 'first',
            head: t('column.firstHarvest'),
            numeric: true,
            cell: ({ daysToFirstHarvest }) => formatTenths(daysToFirstHarvest),
          },
          {
            key: 'between',
            head: t('column.betweenFlushes'),
            numeric: true,
            cell: ({ daysBetweenFlushes }) => formatTenths(daysBetweenFlushes),
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
