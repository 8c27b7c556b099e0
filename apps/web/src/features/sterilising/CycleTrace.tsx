import type { CycleDetail } from '@jarfold/contracts';
import { t } from '../../messages/translate.js';
import { DataTable } from '../../ui/DataTable.js';
import { formatCount, formatMoment, formatNumber, formatTemperature } from '../../ui/format/index.js';
import { Panel } from '../../ui/Panel.js';
import { TraceChart } from './TraceChart.js';

/** More rows than anyone reads; the file itself is where every reading is. */
const MOST_ROWS = 400;

/** The temperature trace that counts, drawn, with who attached it and when. */
export function CycleTrace({ cycle }: { readonly cycle: CycleDetail }) {
  const { trace, target, verdict } = cycle;
  if (trace === null) {
    return (
      <Panel title={t('cycle.trace.title')}>
        <p>{t('cycle.trace.none')}</p>
        <p className="soft">{t('cycle.trace.noneHint')}</p>
      </Panel>
    );
  }
  const rows = trace.points.slice(0, MOST_ROWS);
  return (
    <Panel title={t('cycle.trace.title')}>
      <TraceChart trace={trace} target={target} f0Min={verdict.f0Min} />
      <p>{t('cycle.trace.probe')}</p>
      <p className="soft">
        {t('cycle.trace.attached', {
          count: trace.points.length,
          name: trace.attachedByName ?? t('cycle.trace.somebody'),
          when: formatMoment(trace.attachedAt),
          file: trace.fileName ?? '',
          origin: trace.origin,
          unit: trace.unit,
          gap: formatNumber(trace.longestGapMin),
        })}{' '}
        {cycle.earlierTraces > 0 && t('cycle.trace.earlier', { count: cycle.earlierTraces })}
      </p>
      <details className="more">
        <summary>{t('cycle.trace.readings')}</summary>
        <DataTable
          caption={t('cycle.trace.readings')}
          rows={rows}
          rowKey={({ minute }) => String(minute)}
          columns={[
            { key: 'minute', head: t('column.minute'), numeric: true, cell: ({ minute }) => formatNumber(minute) },
            {
              key: 'temperature',
              head: t('field.temperature'),
              numeric: true,
              cell: ({ temperatureC }) => formatTemperature(temperatureC),
            },
          ]}
        />
        {trace.points.length > rows.length && (
          <p className="soft">{t('text.more', { count: formatCount(trace.points.length - rows.length) })}</p>
        )}
      </details>
    </Panel>
  );
}
