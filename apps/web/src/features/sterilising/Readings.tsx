import type { CycleDetail } from '@jarfold/contracts';
import { t } from '../../messages/translate.js';
import { DataTable } from '../../ui/DataTable.js';
import { formatMoment, formatPressure, formatTemperature } from '../../ui/format/index.js';
import { Panel } from '../../ui/Panel.js';

/** What somebody at the bench read off gauge and thermometer, each with its time. */
export function Readings({ cycle }: { readonly cycle: CycleDetail }) {
  const { method, readings } = cycle;
  return (
    <Panel title={t('cycle.readings')}>
      <DataTable
        caption={t('cycle.readings')}
        rows={readings}
        rowKey={({ entryId }) => entryId}
        columns={[
          { key: 'at', head: t('column.readAt'), cell: ({ at }) => formatMoment(at) },
          {
            key: 'gauge',
            head: t('column.gauge'),
            numeric: true,
            cell: ({ gaugePressureKpa }) =>
              gaugePressureKpa === null ? t('text.none') : formatPressure(gaugePressureKpa),
          },
          {
            key: 'temperature',
            head: t('column.temperature'),
            numeric: true,
            cell: ({ temperatureC }) => (temperatureC === null ? t('text.none') : formatTemperature(temperatureC)),
          },
          {
            key: 'lost',
            head: t('column.seenThen'),
            cell: ({ boilLost }) =>
              boilLost ? t(method === 'pressure' ? 'cycle.pressureLost' : 'cycle.boilLost') : '',
          },
        ]}
      />
    </Panel>
  );
}
