import type { Ahead } from '@jarfold/contracts';
import { type MessageKey, t } from '../../messages/translate.js';
import { LegendItem } from '../../ui/chart/ChartFigure.js';
import { DataTable } from '../../ui/DataTable.js';
import { formatMass, formatWeekOf } from '../../ui/format/index.js';
import { Panel } from '../../ui/Panel.js';
import { type AheadWeek, WeekCell } from './WeekCell.js';
import { BarMark, IntervalMark, WeekChart } from './WeekChart.js';

type Method = Extract<Ahead['demand'], { kind: 'forecast' }>['method'];

const METHOD_WORDS = {
  mean: 'ahead.method.mean',
  last: 'ahead.method.last',
  simple: 'ahead.method.simple',
  trend: 'ahead.method.trend',
  intermittent: 'ahead.method.intermittent',
  fading: 'ahead.method.fading',
} as const satisfies Record<Method, MessageKey>;

const BEHIND_SHOWN = 12;

/** Spawn by week: made, planned, and what the weeks behind let expect beyond the plan. */
export function SpawnPanel({ ahead: { weeks, spawned, demand } }: { readonly ahead: Ahead }) {
  const title = t('ahead.spawn');
  const behind = spawned.slice(-BEHIND_SHOWN);
  return (
    <Panel title={title}>
      <p className="soft">{leadWords(demand, spawned.length)}</p>
      <WeekChart
        title={title}
        desc={t('ahead.spawnDesc', { behind: behind.length, weeks: weeks.length })}
        weeks={[
          ...behind.map(({ monday, grams }) => ({
            ...{ label: formatWeekOf(monday), barG: grams, behind: true, expected: null },
          })),
          ...weeks.map(({ monday, plannedSpawnG, expectedSpawnG }) => ({
            ...{ label: formatWeekOf(monday), barG: plannedSpawnG, expected: expectedSpawnG, dot: true },
          })),
        ]}
        legend={
          <>
            <LegendItem mark={<BarMark behind />}>{t('ahead.legend.behind')}</LegendItem>
            <LegendItem mark={<BarMark />}>{t('ahead.legend.planned')}</LegendItem>
            <LegendItem mark={<IntervalMark dot />}>{t('ahead.legend.expected')}</LegendItem>
          </>
        }
      />
      <DataTable
        caption={title}
        rows={weeks}
        rowKey={({ monday }) => monday}
        columns={[
          { key: 'week', head: t('column.week'), cell: WeekCell },
          {
            key: 'planned',
            head: t('column.plannedSpawn'),
            numeric: true,
            cell: ({ plannedSpawnG }) => formatMass(plannedSpawnG),
          },
          { key: 'expected', head: t('column.expectedSpawn'), numeric: true, cell: expectedWords },
        ]}
      />
      {demand.kind === 'forecast' && (
        <details className="more">
          <summary>{t('ahead.tried')}</summary>
          <DataTable
            caption={t('ahead.tried')}
            rows={demand.tried}
            rowKey={({ method }) => method}
            columns={[
              { key: 'method', head: t('column.forecastMethod'), cell: ({ method }) => t(METHOD_WORDS[method]) },
              {
                key: 'error',
                head: t('column.forecastError'),
                numeric: true,
                cell: ({ meanAbsoluteErrorG }) => formatMass(meanAbsoluteErrorG),
              },
            ]}
          />
        </details>
      )}
    </Panel>
  );
}

function leadWords(demand: Ahead['demand'], weeks: number): string {
  if (demand.kind !== 'forecast') return t('ahead.spawnNot', { reason: demand.reason });
  const error = formatMass(demand.tried[0]!.meanAbsoluteErrorG);
  return t('ahead.spawnLead', { method: t(METHOD_WORDS[demand.method]), weeks, error });
}

const expectedWords = ({ expectedSpawnG }: AheadWeek): string =>
  expectedSpawnG === null
    ? ''
    : t('rates.withInterval', {
        value: formatMass(expectedSpawnG.value),
        low: formatMass(expectedSpawnG.low),
        high: formatMass(expectedSpawnG.high),
      });
