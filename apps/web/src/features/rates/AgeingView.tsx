import type { AgeingRates } from '@jarfold/contracts';
import { type RatesScope, useAgeingRates } from '../../api/rates.js';
import { t } from '../../messages/translate.js';
import { IntervalRows } from '../../ui/chart/IntervalRows.js';
import { DataTable } from '../../ui/DataTable.js';
import { formatCount, formatShare } from '../../ui/format/index.js';
import { Panel } from '../../ui/Panel.js';
import { QueryStates } from '../../ui/QueryStates.js';
import { NothingYet } from '../../ui/Waiting.js';
import { reasonOf, startWords, withInterval } from './estimate-words.js';
import { PlotLegend } from './PlotLegend.js';
import { StrainCell } from './StrainCell.js';
import { SurvivalChart } from './SurvivalChart.js';

type Item = AgeingRates['items'][number];

const days = (value: number): string => t('format.days', { days: Math.round(value) });

/** How long chilled jars stay alive, from the farm's own tests of regrowth. */
export function AgeingView({ scope }: { readonly scope: RatesScope }) {
  const rates = useAgeingRates(scope);
  return <QueryStates query={rates}>{(data) => <Strains items={data.items} />}</QueryStates>;
}

function Strains({ items }: { readonly items: AgeingRates['items'] }) {
  if (items.length === 0) return <NothingYet title={t('rates.noStrains')} />;
  const chilled = items.filter(({ mayBeChilled }) => mayBeChilled);
  const warm = items.filter(({ mayBeChilled }) => !mayBeChilled);
  return (
    <>
      <Panel title={t('rates.ageing.title')}>
        <p className="soft">{t('rates.ageing.lead')}</p>
        {chilled.length > 0 && (
          <IntervalRows
            title={t('rates.ageing.title')}
            desc={t('rates.ageing.desc')}
            from={0}
            format={days}
            legend={<PlotLegend start />}
            rows={chilled.map(({ strainId, strainCode, strainName, lifeDays, restarts, start }) => ({
              ...{ key: strainId, value: lifeDays.value, low: lifeDays.low, high: lifeDays.high, start: start.value },
              label: t('format.strain', { code: strainCode, name: strainName }),
              note: t('rates.n', { n: formatCount(restarts) }),
            }))}
          />
        )}
        <LifeTable items={chilled} />
        {warm.length > 0 && (
          <p>{t('rates.ageing.neverChilled', { strains: warm.map(({ strainName }) => strainName).join(', ') })}</p>
        )}
      </Panel>
      {chilled.map((item) => (
        <Curve key={item.strainId} item={item} />
      ))}
    </>
  );
}

function LifeTable({ items }: { readonly items: readonly Item[] }) {
  return (
    <DataTable
      caption={t('rates.ageing.title')}
      rows={items}
      rowKey={({ strainId }) => strainId}
      columns={[
        {
          key: 'strain',
          head: t('column.strain'),
          cell: StrainCell,
        },
        {
          key: 'life',
          head: t('column.coldLife'),
          numeric: true,
          cell: ({ lifeDays }) => withInterval(lifeDays, days),
        },
        { key: 'restarts', head: t('column.restarts'), numeric: true, cell: ({ restarts }) => formatCount(restarts) },
        { key: 'died', head: t('column.died'), numeric: true, cell: ({ died }) => formatCount(died) },
        { key: 'own', head: t('column.ownShare'), numeric: true, cell: ({ ownShare }) => formatShare(ownShare) },
        { key: 'start', head: t('column.published'), prose: true, cell: ({ start }) => startWords(start, days) },
      ]}
    />
  );
}

function Curve({ item }: { readonly item: Item }) {
  const { curve, lifeDays, strainName } = item;
  const title = t('rates.ageing.curve', { strain: strainName });
  if (curve.kind !== 'curve') {
    return (
      <Panel title={title}>
        <p>{t('rates.notEnough', { reason: reasonOf(curve) })}</p>
        <p className="soft">{t('rates.ageing.testHint')}</p>
      </Panel>
    );
  }
  return (
    <Panel title={title}>
      <SurvivalChart title={title} curve={curve} lifeDays={lifeDays.value} />
      <details className="more">
        <summary>{t('rates.ageing.steps')}</summary>
        <DataTable
          caption={title}
          rows={curve.steps}
          rowKey={(step) => String(step.days)}
          columns={[
            { key: 'days', head: t('column.daysInCold'), numeric: true, cell: (step) => formatCount(step.days) },
            { key: 'alive', head: t('column.alive'), numeric: true, cell: stepWords },
            { key: 'risk', head: t('column.tested'), numeric: true, cell: ({ atRisk }) => formatCount(atRisk) },
            { key: 'died', head: t('column.died'), numeric: true, cell: ({ ended }) => formatCount(ended) },
          ]}
        />
      </details>
    </Panel>
  );
}

type Step = Extract<Item['curve'], { kind: 'curve' }>['steps'][number];

function stepWords({ survival, low, high }: Step): string {
  return low === null || high === null
    ? formatShare(survival)
    : withInterval({ value: survival, low, high }, formatShare);
}
