import { type ContaminationRates, type FactorRatesJson, rateFactors } from '@jarfold/contracts';
import { useState } from 'react';
import { t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { IntervalRows } from '../../ui/chart/IntervalRows.js';
import { DataTable } from '../../ui/DataTable.js';
import { formatCount, formatDay, formatShare } from '../../ui/format/index.js';
import { Notice } from '../../ui/Notice.js';
import { Panel } from '../../ui/Panel.js';
import { METHOD_WORDS } from '../sterilising/cycle-words.js';
import { estimateWords, withInterval } from './estimate-words.js';
import { FACTOR_WORDS } from './factor-words.js';
import { PlotLegend } from './PlotLegend.js';

type Rate = FactorRatesJson['rates'][number];

/** More rows are no picture any more; the table holds all of them. */
const MOST_DRAWN = 14;

/** The rate of each strain, mother, batch, cycle, person, room or method, drawn toward the mean as far as n deserves. */
export function FactorRates({ rates }: { readonly rates: ContaminationRates }) {
  const [factor, setFactor] = useState<FactorRatesJson['factor']>('strain');
  const chosen = rates.factors.find((each) => each.factor === factor);
  return (
    <Panel title={t('rates.factors.title')}>
      <fieldset className="choice factor-choice">
        <legend className="visually-hidden">{t('column.factor')}</legend>
        {rateFactors.map((each) => (
          <Button key={each} aria-pressed={each === factor} onClick={() => setFactor(each)}>
            {t(FACTOR_WORDS[each])}
          </Button>
        ))}
      </fieldset>
      {factor === 'operator' && (
        <Notice>
          <p>{rates.othersKeptBack ? t('rates.factors.othersKeptBack') : t('rates.factors.people')}</p>
        </Notice>
      )}
      {chosen && <Levels chosen={chosen} mean={rates.shrunk.value} />}
    </Panel>
  );
}

function Levels({ chosen, mean }: { readonly chosen: FactorRatesJson; readonly mean: number }) {
  const word = t(FACTOR_WORDS[chosen.factor]);
  if (chosen.rates.length === 0) return <p>{t('rates.factors.none', { factor: word })}</p>;
  const worstFirst = [...chosen.rates].sort((one, other) => other.shrunk.value - one.shrunk.value);
  const label = (rate: Rate) => levelWords(chosen.factor, rate);
  const title = t('rates.factors.plot', { factor: word });
  return (
    <>
      <IntervalRows
        title={title}
        desc={t('rates.factors.desc', { count: Math.min(worstFirst.length, MOST_DRAWN), mean: formatShare(mean) })}
        from={0}
        reference={mean}
        format={formatShare}
        legend={<PlotLegend reference={t('rates.legend.mean')} out />}
        rows={worstFirst.slice(0, MOST_DRAWN).map((rate) => ({
          ...{ key: rate.level, label: label(rate), note: t('rates.n', { n: formatCount(rate.n) }) },
          ...{ value: rate.shrunk.value, low: rate.shrunk.low, high: rate.shrunk.high },
          standsOut: rate.shrunk.low > mean,
        }))}
      />
      <p className="soft">
        {chosen.from === 'own groups' ? t('rates.factors.ownMean') : t('rates.factors.publishedMean')}{' '}
        {chosen.count > chosen.rates.length &&
          t('rates.factors.newest', { shown: chosen.rates.length, count: chosen.count })}
      </p>
      <DataTable
        caption={title}
        rows={worstFirst}
        rowKey={({ level }) => level}
        columns={[
          { key: 'level', head: word, cell: label },
          {
            key: 'shrunk',
            head: t('column.rate'),
            numeric: true,
            cell: ({ shrunk }) => withInterval(shrunk, formatShare),
          },
          { key: 'n', head: t('column.jars'), numeric: true, cell: ({ n }) => formatCount(n) },
          { key: 'hits', head: t('column.contaminated'), numeric: true, cell: ({ hits }) => formatCount(hits) },
          {
            key: 'observed',
            head: t('column.counted'),
            numeric: true,
            cell: ({ observed }) => estimateWords(observed, formatShare),
          },
          { key: 'lots', head: t('column.lots'), numeric: true, cell: ({ lots }) => formatCount(lots) },
          { key: 'last', head: t('column.lastMade'), cell: ({ lastMadeOn }) => formatDay(lastMadeOn) },
        ]}
      />
    </>
  );
}

/** A method has a word of its own here; everything else is called what the farm calls it. */
function levelWords(factor: FactorRatesJson['factor'], { level, label }: Rate): string {
  return factor === 'method' && level in METHOD_WORDS ? t(METHOD_WORDS[level as keyof typeof METHOD_WORDS]) : label;
}
