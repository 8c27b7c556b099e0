import type { Ahead } from '@jarfold/contracts';
import { type MessageKey, t } from '../../messages/translate.js';
import { LegendItem } from '../../ui/chart/ChartFigure.js';
import { DataTable } from '../../ui/DataTable.js';
import { formatMass, formatWeekOf } from '../../ui/format/index.js';
import { Panel } from '../../ui/Panel.js';
import { reasonOf, withInterval } from '../rates/estimate-words.js';
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
  const rows: readonly SpawnRow[] = [...behind.map(asMadeRow), ...weeks];
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
        rows={rows}
        rowKey={({ monday }) => monday}
        columns={[
          { key: 'week', head: t('column.week'), cell: WeekCell },
          { key: 'made', head: t('column.madeSpawn'), numeric: true, cell: ({ madeG }) => massOrNothing(madeG) },
          {
            key: 'planned',
            head: t('column.plannedSpawn'),
            numeric: true,
            cell: ({ plannedSpawnG }) => massOrNothing(plannedSpawnG),
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

/** A week of the table: what was made in it, or what is planned and expected. */
interface SpawnRow extends Pick<AheadWeek, 'monday'> {
  readonly madeG?: number;
  readonly plannedSpawnG?: number;
  readonly expectedSpawnG?: AheadWeek['expectedSpawnG'];
}

const asMadeRow = ({ monday, grams }: Ahead['spawned'][number]): SpawnRow => ({ monday, madeG: grams });

const massOrNothing = (massG: number | undefined): string => (massG === undefined ? '' : formatMass(massG));

function leadWords(demand: Ahead['demand'], weeks: number): string {
  if (demand.kind !== 'forecast') return t('ahead.spawnNot', { reason: reasonOf(demand) });
  const error = formatMass(demand.tried[0]!.meanAbsoluteErrorG);
  return t('ahead.spawnLead', { method: t(METHOD_WORDS[demand.method]), weeks, error });
}

const expectedWords = ({ expectedSpawnG }: SpawnRow): string =>
  expectedSpawnG ? withInterval(expectedSpawnG, formatMass) : '';
