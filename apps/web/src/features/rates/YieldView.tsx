import type { YieldRates } from '@jarfold/contracts';
import { useState } from 'react';
import { type RatesScope, useYieldRates } from '../../api/rates.js';
import { t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { Caution } from '../../ui/Caution.js';
import { IntervalRows } from '../../ui/chart/IntervalRows.js';
import { DataTable } from '../../ui/DataTable.js';
import { formatCount, formatDay, formatMass, formatShare, formatTenths } from '../../ui/format/index.js';
import { Panel } from '../../ui/Panel.js';
import { QueryStates } from '../../ui/QueryStates.js';
import { NothingYet } from '../../ui/Waiting.js';
import { estimateWords, reasonOf, startWords, withInterval } from './estimate-words.js';
import { PlotLegend } from './PlotLegend.js';
import { StrainCell } from './StrainCell.js';

type Strain = YieldRates['strains'][number];
type Run = YieldRates['runs'][number];

/** Fresh mushrooms per dry substrate, the grams always beside the ratio. */
export function YieldView({ scope }: { readonly scope: RatesScope }) {
  const rates = useYieldRates(scope);
  return (
    <QueryStates query={rates}>
      {(data) =>
        data.strains.length === 0 ? (
          <NothingYet title={t('rates.noStrains')} />
        ) : (
          <>
            <Strains strains={data.strains} />
            <Flushes strains={data.strains.filter(({ byFlush }) => byFlush.length > 0)} />
            <Runs runs={data.runs} />
          </>
        )
      }
    </QueryStates>
  );
}

function Strains({ strains }: { readonly strains: readonly Strain[] }) {
  const drawn = strains.flatMap(({ shrunk, ...strain }) => (shrunk.kind === 'estimate' ? [{ ...strain, shrunk }] : []));
  return (
    <Panel title={t('rates.yield.title')}>
      <p className="soft">{t('rates.yield.lead')}</p>
      {drawn.length === 0 ? (
        <p>{t('rates.yield.none')}</p>
      ) : (
        <IntervalRows
          title={t('rates.yield.title')}
          desc={t('rates.yield.desc')}
          from={0}
          format={formatShare}
          legend={<PlotLegend start />}
          rows={drawn.map(({ strainId, strainCode, strainName, shrunk, finishedRuns, start }) => ({
            ...{ key: strainId, value: shrunk.value, low: shrunk.low, high: shrunk.high, start: start.value },
            label: t('format.strain', { code: strainCode, name: strainName }),
            note: t('rates.runsCounted', { count: finishedRuns }),
          }))}
        />
      )}
      <DataTable
        caption={t('rates.yield.title')}
        rows={strains}
        rowKey={({ strainId }) => strainId}
        columns={[
          { key: 'strain', head: t('column.strain'), cell: StrainCell },
          {
            key: 'be',
            head: t('column.efficiency'),
            numeric: true,
            cell: ({ shrunk }) => estimateWords(shrunk, formatShare),
          },
          { key: 'fresh', head: t('column.fresh'), numeric: true, cell: ({ freshG }) => formatMass(freshG) },
          {
            key: 'dry',
            head: t('column.drySubstrate'),
            numeric: true,
            cell: ({ substrateDryG }) => formatMass(substrateDryG),
          },
          { key: 'runs', head: t('column.runs'), numeric: true, cell: ({ finishedRuns }) => formatCount(finishedRuns) },
          {
            key: 'first',
            head: t('column.firstHarvest'),
            numeric: true,
            cell: ({ daysToFirstHarvest }) => estimateWords(daysToFirstHarvest, formatTenths),
          },
          {
            key: 'between',
            head: t('column.betweenFlushes'),
            numeric: true,
            cell: ({ daysBetweenFlushes }) => estimateWords(daysBetweenFlushes, formatTenths),
          },
        ]}
      />
      {strains.map((strain) => (
        <p key={strain.strainId} className="soft">
          {t('rates.yield.start', { strain: strain.strainName, start: startWords(strain.start, formatShare) })}{' '}
          {spawnRateWords(strain)}
        </p>
      ))}
    </Panel>
  );
}

/** A hint from the farm's own runs, not a trial. */
function spawnRateWords({ strainName, spawnRateEffect }: Strain): string {
  if (spawnRateEffect.kind !== 'effect')
    return t('rates.yield.noEffect', { strain: strainName, reason: reasonOf(spawnRateEffect) });
  const { perPercent } = spawnRateEffect;
  return t('rates.yield.effect', {
    strain: strainName,
    effect: withInterval(perPercent, formatShare),
    n: perPercent.n,
  });
}

function Flushes({ strains }: { readonly strains: readonly Strain[] }) {
  const rows = strains.flatMap((strain) => strain.byFlush.map((flush) => ({ strain, ...flush })));
  if (rows.length === 0) return null;
  return (
    <Panel title={t('rates.yield.flushes')}>
      <DataTable
        caption={t('rates.yield.flushes')}
        rows={rows}
        rowKey={({ strain, flush }) => `${strain.strainId} ${flush}`}
        columns={[
          { key: 'strain', head: t('column.strain'), cell: ({ strain }) => StrainCell(strain) },
          { key: 'flush', head: t('column.flush'), numeric: true, cell: ({ flush }) => formatCount(flush) },
          { key: 'share', head: t('column.shareOfHarvest'), numeric: true, cell: ({ share }) => formatShare(share) },
          { key: 'fresh', head: t('column.fresh'), numeric: true, cell: ({ freshG }) => formatMass(freshG) },
          {
            key: 'be',
            head: t('column.efficiency'),
            numeric: true,
            cell: ({ efficiency }) => estimateWords(efficiency, formatShare),
          },
        ]}
      />
    </Panel>
  );
}

const RUNS_SHOWN = 25;

function Runs({ runs }: { readonly runs: readonly Run[] }) {
  const [shown, setShown] = useState(RUNS_SHOWN);
  if (runs.length === 0) return null;
  const newest = [...runs].sort((one, other) => (one.spawnedOn < other.spawnedOn ? 1 : -1));
  return (
    <Panel title={t('rates.yield.runs')}>
      <DataTable
        caption={t('rates.yield.runs')}
        rows={newest.slice(0, shown)}
        rowKey={({ runId }) => runId}
        columns={[
          { key: 'run', head: t('column.run'), cell: ({ runName }) => runName },
          { key: 'strain', head: t('column.strain'), cell: StrainCell },
          { key: 'spawned', head: t('column.spawnedOn'), cell: ({ spawnedOn }) => formatDay(spawnedOn) },
          { key: 'be', head: t('column.efficiency'), numeric: true, cell: efficiencyWords },
          { key: 'fresh', head: t('column.fresh'), numeric: true, cell: freshWords },
          { key: 'dry', head: t('column.drySubstrate'), numeric: true, cell: dryWords },
          {
            key: 'flushes',
            head: t('column.flushes'),
            cell: ({ flushes }) => flushes.map(({ freshG }) => formatMass(freshG)).join(', '),
          },
        ]}
      />
      {shown < newest.length && (
        <div className="row">
          <Button onClick={() => setShown(shown + RUNS_SHOWN)}>{t('command.more')}</Button>
          <p className="soft">{t('text.more', { count: newest.length - shown })}</p>
        </div>
      )}
      <Caution hazards={['spores']} />
    </Panel>
  );
}

function efficiencyWords({ efficiency, finished, freshG }: Run): string {
  if (efficiency === null) return t('rates.yield.unknown');
  if (finished) return formatShare(efficiency);
  return freshG === 0 ? t('rates.yield.notYet') : t('rates.yield.soFar', { share: formatShare(efficiency) });
}

/** A run that has still to bear its first flush has no grams to tell. */
const freshWords = ({ freshG, finished }: Run): string => (freshG === 0 && !finished ? '' : formatMass(freshG));

const dryWords = ({ substrateDryG, moistureAssumed }: Run): string =>
  moistureAssumed ? t('rates.yield.assumed', { mass: formatMass(substrateDryG) }) : formatMass(substrateDryG);
