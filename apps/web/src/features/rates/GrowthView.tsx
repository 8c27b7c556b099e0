import type { GrowthRates } from '@jarfold/contracts';
import { type RatesScope, useGrowthRates } from '../../api/rates.js';
import { t } from '../../messages/translate.js';
import { IntervalRows } from '../../ui/chart/IntervalRows.js';
import { DataTable } from '../../ui/DataTable.js';
import { formatCount, formatShare, formatTemperature, formatTenths } from '../../ui/format/index.js';
import { Panel } from '../../ui/Panel.js';
import { QueryStates } from '../../ui/QueryStates.js';
import { NothingYet } from '../../ui/Waiting.js';
import { startWords, withInterval } from './estimate-words.js';
import { PlotLegend } from './PlotLegend.js';
import { StrainCell } from './StrainCell.js';

type Item = GrowthRates['items'][number];
type Ripening = Item['all'];

const days = (value: number): string => t('format.days', { days: Math.round(value) });
/** Days from inoculation to ripe: not one number, but how early and how late jars are. */
export function GrowthView({ scope }: { readonly scope: RatesScope }) {
  const rates = useGrowthRates(scope);
  return <QueryStates query={rates}>{(data) => <Strains items={data.items} />}</QueryStates>;
}

function Strains({ items }: { readonly items: GrowthRates['items'] }) {
  if (items.length === 0) return <NothingYet title={t('rates.noStrains')} />;
  return (
    <>
      <Panel title={t('rates.growth.title')}>
        <p className="soft">{t('rates.growth.lead')}</p>
        <IntervalRows
          title={t('rates.growth.title')}
          desc={t('rates.growth.desc')}
          from={0}
          format={days}
          legend={<PlotLegend band={t('rates.legend.ripening')} start />}
          rows={items.map((item) => ({
            ...rowOf(
              item.strainId,
              t('format.strain', { code: item.strainCode, name: item.strainName }),
              item.onThisFarm,
            ),
            ...{ start: item.start.value, note: t('rates.n', { n: formatCount(item.jars) }) },
          }))}
        />
        <DataTable
          caption={t('rates.growth.title')}
          rows={items}
          rowKey={({ strainId }) => strainId}
          columns={[
            {
              key: 'strain',
              head: t('column.strain'),
              cell: StrainCell,
            },
            {
              key: 'median',
              head: t('column.median'),
              numeric: true,
              cell: ({ onThisFarm }) => withInterval(onThisFarm.median, formatTenths),
            },
            {
              key: 'early',
              head: t('column.early'),
              numeric: true,
              cell: ({ onThisFarm }) => formatTenths(onThisFarm.earlyDays),
            },
            {
              key: 'late',
              head: t('column.late'),
              numeric: true,
              cell: ({ onThisFarm }) => formatTenths(onThisFarm.lateDays),
            },
            { key: 'n', head: t('column.jars'), numeric: true, cell: ({ jars }) => formatCount(jars) },
            {
              key: 'own',
              head: t('column.ownShare'),
              numeric: true,
              cell: ({ onThisFarm }) => formatShare(onThisFarm.ownShare),
            },
            { key: 'start', head: t('column.published'), prose: true, cell: ({ start }) => startWords(start, days) },
          ]}
        />
      </Panel>
      {items
        .filter(({ jars }) => jars > 0)
        .map((item) => (
          <StrainPanel key={item.strainId} item={item} />
        ))}
    </>
  );
}

function rowOf(key: string, label: string, { median, earlyDays, lateDays }: Ripening) {
  return {
    ...{ key, label, value: median.value, low: median.low, high: median.high },
    band: [earlyDays, lateDays] as const,
    ...{ note: t('rates.n', { n: formatCount(median.n) }), jars: median.n },
  };
}

/** By generation and by room; what is counted at the strain's best temperature stands beside. */
function StrainPanel({ item }: { readonly item: Item }) {
  const title = t('rates.growth.of', { strain: item.strainName });
  const rows = [
    rowOf('all', t('rates.growth.atReference', { temperature: formatTemperature(item.referenceC) }), item.all),
    ...item.byGeneration.map(({ generation, ripening }) =>
      rowOf(`G${generation}`, t('format.generation', { generation }), ripening),
    ),
    ...item.byRoom.map(({ roomId, roomName, ripening }) => rowOf(roomId, roomName, ripening)),
  ];
  return (
    <Panel title={title}>
      <IntervalRows
        title={title}
        desc={t('rates.growth.desc')}
        from={0}
        format={days}
        legend={<PlotLegend band={t('rates.legend.ripening')} />}
        rows={rows}
      />
      <DataTable
        caption={title}
        rows={rows}
        rowKey={({ key }) => key}
        columns={[
          { key: 'what', head: t('column.level'), cell: ({ label }) => label },
          {
            key: 'median',
            head: t('column.median'),
            numeric: true,
            cell: ({ value, low, high }) => withInterval({ value, low, high }, formatTenths),
          },
          { key: 'early', head: t('column.early'), numeric: true, cell: ({ band }) => formatTenths(band[0]) },
          { key: 'late', head: t('column.late'), numeric: true, cell: ({ band }) => formatTenths(band[1]) },
          { key: 'n', head: t('column.jars'), numeric: true, cell: ({ jars }) => formatCount(jars) },
        ]}
      />
      {item.leftOut > 0 && <p className="soft">{t('rates.growth.leftOut', { count: item.leftOut })}</p>}
    </Panel>
  );
}
