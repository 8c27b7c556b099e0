import type { Ahead } from '@jarfold/contracts';
import { t } from '../../messages/translate.js';
import { LegendItem } from '../../ui/chart/ChartFigure.js';
import { DataTable } from '../../ui/DataTable.js';
import { formatMass, formatShare, formatWeekOf } from '../../ui/format/index.js';
import { Panel } from '../../ui/Panel.js';
import { NothingYet } from '../../ui/Waiting.js';
import { withInterval } from '../rates/estimate-words.js';
import { type AheadWeek, WeekCell } from './WeekCell.js';
import { BarMark, IntervalMark, WeekChart } from './WeekChart.js';

/** Mushrooms expected week by week, as a picture and as a table. */
export function HarvestPanel({ ahead: { weeks, bearings } }: { readonly ahead: Ahead }) {
  const title = t('ahead.harvest');
  if (weeks.every(({ harvest }) => harvest.expectedG < 1))
    return (
      <Panel title={title}>
        <NothingYet title={t('ahead.none')}>
          <p className="soft">{t('ahead.noneHint')}</p>
        </NothingYet>
      </Panel>
    );
  const most = weeks.reduce((one, other) => (other.harvest.expectedG > one.harvest.expectedG ? other : one));
  return (
    <Panel title={title}>
      <p className="soft">{t('ahead.harvestLead', { share: formatShare(bearings[0]?.efficiency.level ?? 0.95) })}</p>
      <WeekChart
        title={title}
        desc={t('ahead.harvestDesc', {
          weeks: weeks.length,
          most: formatWeekOf(most.monday),
          mass: formatMass(most.harvest.expectedG),
        })}
        weeks={weeks.map(({ monday, harvest: { expectedG, low, high } }) => ({
          label: formatWeekOf(monday),
          barG: expectedG,
          expected: { value: expectedG, low, high },
        }))}
        legend={
          <>
            <LegendItem mark={<BarMark />}>{t('ahead.legend.harvest')}</LegendItem>
            <LegendItem mark={<IntervalMark />}>{t('ahead.legend.expected')}</LegendItem>
          </>
        }
      />
      <DataTable
        caption={title}
        rows={weeks}
        rowKey={({ monday }) => monday}
        columns={[
          { key: 'week', head: t('column.week'), cell: WeekCell },
          { key: 'harvest', head: t('column.expectedHarvest'), numeric: true, cell: harvestWords },
          { key: 'runs', head: t('column.fromRuns'), prose: true, cell: runWords },
        ]}
      />
    </Panel>
  );
}

const NAMED = 3;

/** The runs that bear most of the week, and how many more there are. */
function runWords({ harvest: { runs } }: AheadWeek): string {
  const named = runs.slice(0, NAMED).join(', ');
  return runs.length <= NAMED ? named : t('ahead.andMore', { named, count: runs.length - NAMED });
}

const harvestWords = ({ harvest: { expectedG, low, high } }: AheadWeek): string =>
  withInterval({ value: expectedG, low, high }, formatMass);
