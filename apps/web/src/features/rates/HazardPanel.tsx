import type { ContaminationRates } from '@jarfold/contracts';
import { t } from '../../messages/translate.js';
import { IntervalRows } from '../../ui/chart/IntervalRows.js';
import { DataTable } from '../../ui/DataTable.js';
import { formatCount, formatShare, formatSmallShare } from '../../ui/format/index.js';
import { Panel } from '../../ui/Panel.js';
import { estimateWords, reasonOf } from './estimate-words.js';
import { PlotLegend } from './PlotLegend.js';

/** On which days after inoculation jars go bad: early points to grain and steriliser, late to leaks and handling. */
export function HazardPanel({ hazard }: { readonly hazard: ContaminationRates['hazard'] }) {
  if (hazard.kind !== 'hazard') {
    return (
      <Panel title={t('rates.hazard.title')}>
        <p>{t('rates.notEnough', { reason: reasonOf(hazard) })}</p>
      </Panel>
    );
  }
  const { bands, n, contaminated } = hazard;
  const name = ({ fromDay, toDay }: (typeof bands)[number]) => t('rates.hazard.band', { from: fromDay, to: toDay });
  return (
    <Panel title={t('rates.hazard.title')}>
      <p>{t('rates.hazard.from', { count: n, contaminated })}</p>
      <IntervalRows
        title={t('rates.hazard.title')}
        desc={t('rates.hazard.desc')}
        from={0}
        format={formatSmallShare}
        legend={<PlotLegend />}
        rows={bands.flatMap((band) =>
          band.perJarDay.kind === 'estimate'
            ? [
                {
                  ...{
                    key: name(band),
                    label: name(band),
                    note: t('rates.jarDays', { days: formatCount(band.jarDays) }),
                  },
                  ...{ value: band.perJarDay.value, low: band.perJarDay.low, high: band.perJarDay.high },
                },
              ]
            : [],
        )}
      />
      <DataTable
        caption={t('rates.hazard.title')}
        rows={bands}
        rowKey={name}
        columns={[
          { key: 'band', head: t('column.days'), cell: name },
          {
            key: 'rate',
            head: t('column.perDay'),
            numeric: true,
            cell: ({ perJarDay }) => estimateWords(perJarDay, formatSmallShare),
          },
          { key: 'jarDays', head: t('column.jarDays'), numeric: true, cell: ({ jarDays }) => formatCount(jarDays) },
          {
            key: 'bad',
            head: t('column.contaminated'),
            numeric: true,
            cell: (band) => formatCount(band.contaminated),
          },
          {
            key: 'byEnd',
            head: t('column.byThen'),
            numeric: true,
            cell: ({ contaminatedByEnd }) => formatShare(contaminatedByEnd),
          },
        ]}
      />
    </Panel>
  );
}
