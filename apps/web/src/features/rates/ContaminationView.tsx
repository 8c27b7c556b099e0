import type { ContaminationRates } from '@jarfold/contracts';
import { useState } from 'react';
import { type RatesScope, useContaminationRates } from '../../api/rates.js';
import { t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { Caution } from '../../ui/Caution.js';
import { DataTable } from '../../ui/DataTable.js';
import { formatCount, formatShare } from '../../ui/format/index.js';
import { Notice } from '../../ui/Notice.js';
import { Panel } from '../../ui/Panel.js';
import { QueryStates } from '../../ui/QueryStates.js';
import { Causes } from './Causes.js';
import { estimateWords, reasonOf, startWords } from './estimate-words.js';
import { FactorRates } from './FactorRates.js';
import { HazardPanel } from './HazardPanel.js';
import { RateChart } from './RateChart.js';

type Period = 'week' | 'month';

/** How many jars go bad, whether that has shifted, and what explains it. */
export function ContaminationView({ scope }: { readonly scope: RatesScope }) {
  const [period, setPeriod] = useState<Period>('week');
  const rates = useContaminationRates(scope, period);
  return (
    <QueryStates query={rates}>
      {(data) => (
        <>
          <OverTime rates={data} period={period} onPeriod={setPeriod} />
          <Causes attribution={data.attribution} />
          <FactorRates rates={data} />
          <HazardPanel hazard={data.hazard} />
          <Caution hazards={['mould']} />
        </>
      )}
    </QueryStates>
  );
}

function OverTime({
  rates,
  period,
  onPeriod,
}: {
  readonly rates: ContaminationRates;
  readonly period: Period;
  readonly onPeriod: (period: Period) => void;
}) {
  const { chart, average, points } = rates.overTime;
  return (
    <Panel title={t('rates.overTime.title')} aside={<PeriodChoice period={period} onPeriod={onPeriod} />}>
      <Headline rates={rates} />
      <Signals rates={rates} />
      {chart.kind === 'chart' ? (
        <RateChart chart={chart} average={average} />
      ) : (
        <p>{t('rates.overTime.none', { reason: reasonOf(chart) })}</p>
      )}
      {points.length > 0 && (
        <details className="more">
          <summary>{t('rates.overTime.table')}</summary>
          <PeriodTable overTime={rates.overTime} />
        </details>
      )}
    </Panel>
  );
}

function PeriodChoice({ period, onPeriod }: { readonly period: Period; readonly onPeriod: (period: Period) => void }) {
  return (
    <fieldset className="choice">
      <legend className="visually-hidden">{t('column.period')}</legend>
      <Button aria-pressed={period === 'week'} onClick={() => onPeriod('week')}>
        {t('rates.period.week')}
      </Button>
      <Button aria-pressed={period === 'month'} onClick={() => onPeriod('month')}>
        {t('rates.period.month')}
      </Button>
    </fieldset>
  );
}

function Headline({ rates }: { readonly rates: ContaminationRates }) {
  const { shrunk, observed, hits, n, lotsCounted, lotsTooYoung, start } = rates;
  return (
    <div className="stack stack--tight">
      <p className="headline">
        <span className="headline__number">{formatShare(shrunk.value)}</span>
        <span>{t('rates.headline.interval', { low: formatShare(shrunk.low), high: formatShare(shrunk.high) })}</span>
      </p>
      <p>{t('rates.headline.from', { hits: formatCount(hits), count: n, lots: lotsCounted, young: lotsTooYoung })}</p>
      <p className="soft">{t('rates.headline.observed', { observed: estimateWords(observed, formatShare) })}</p>
      <p className="soft">{t('rates.headline.start', { start: startWords(start, formatShare) })}</p>
    </div>
  );
}

/** Said in plain words, whether something lies outside what chance explains or not. */
function Signals({ rates }: { readonly rates: ContaminationRates }) {
  const { signals, chart } = rates.overTime;
  if (chart.kind !== 'chart') return null;
  if (signals.length === 0) return <Notice>{t('rates.signals.none')}</Notice>;
  return (
    <div className="signals">
      {signals.map(({ label, side, sentence }) => (
        <Notice key={`${label} ${sentence}`} tone={side === 'above' ? 'care' : 'plain'}>
          <p>{sentence}</p>
        </Notice>
      ))}
    </div>
  );
}

function PeriodTable({ overTime }: { readonly overTime: ContaminationRates['overTime'] }) {
  const limits = new Map(
    overTime.chart.kind === 'chart' ? overTime.chart.points.map((point) => [point.label, point]) : [],
  );
  return (
    <DataTable
      caption={t('rates.overTime.table')}
      rows={[...overTime.points].reverse()}
      rowKey={({ label }) => label}
      columns={[
        { key: 'period', head: t('column.period'), cell: ({ label }) => label },
        { key: 'jars', head: t('column.jars'), numeric: true, cell: ({ n }) => formatCount(n) },
        { key: 'bad', head: t('column.contaminated'), numeric: true, cell: ({ hits }) => formatCount(hits) },
        {
          key: 'rate',
          head: t('column.rate'),
          numeric: true,
          cell: ({ hits, n }) => (n > 0 ? formatShare(hits / n) : ''),
        },
        {
          key: 'limits',
          head: t('column.limits'),
          numeric: true,
          cell: ({ label }) => {
            const point = limits.get(label);
            return point
              ? t('format.span', { from: formatShare(point.lowLimit), to: formatShare(point.highLimit) })
              : '';
          },
        },
        {
          key: 'signal',
          head: t('column.signal'),
          cell: ({ label }) => {
            const signal = limits.get(label)?.signal;
            if (!signal) return '';
            return signal === 'above' ? t('rates.signal.above') : t('rates.signal.below');
          },
        },
      ]}
    />
  );
}
