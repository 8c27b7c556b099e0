import type { PlanningValues } from '@jarfold/contracts';
import { usePlanningValues } from '../../api/rates.js';
import { t } from '../../messages/translate.js';
import { IntervalRows } from '../../ui/chart/IntervalRows.js';
import { DataTable } from '../../ui/DataTable.js';
import { formatCount, formatDay, formatShare } from '../../ui/format/index.js';
import { Panel } from '../../ui/Panel.js';
import { QueryStates } from '../../ui/QueryStates.js';
import { Tape } from '../../ui/Tape.js';
import { NothingYet } from '../../ui/Waiting.js';
import { originWords, startWords } from './estimate-words.js';
import { PlotLegend } from './PlotLegend.js';
import { daysOf, planningRows, planningWords } from './planning-rows.js';

/** What plans are made with now, and where each value comes from. */
export function PlanningView() {
  const values = usePlanningValues();
  return <QueryStates query={values}>{(data) => <Values values={data} />}</QueryStates>;
}

function Values({ values }: { readonly values: PlanningValues }) {
  if (values.items.length === 0) return <NothingYet title={t('rates.noStrains')} />;
  return (
    <>
      <p className="soft">{t('rates.planning.lead', { day: formatDay(values.asOf) })}</p>
      <div className="two-columns">
        <ValuePanel title={t('rates.planning.ripe')} values={values} of="daysToRipe" format={daysOf} />
        <ValuePanel title={t('rates.planning.loss')} values={values} of="lossRate" format={formatShare} />
      </div>
      <Panel title={t('rates.planning.table')}>
        <DataTable
          caption={t('rates.planning.table')}
          rows={values.items.flatMap(planningRows)}
          rowKey={({ key }) => key}
          columns={[
            {
              key: 'strain',
              head: t('column.strain'),
              cell: ({ strain }) => (
                <>
                  <Tape>{strain.strainCode}</Tape> {strain.strainName}
                </>
              ),
            },
            { key: 'what', head: t('column.value'), cell: ({ what }) => what },
            {
              key: 'now',
              head: t('column.now'),
              numeric: true,
              cell: planningWords,
            },
            { key: 'origin', head: t('column.origin'), cell: ({ value }) => originWords(value) },
            {
              key: 'published',
              head: t('column.published'),
              prose: true,
              cell: ({ value, format }) => startWords(value.published, format),
            },
          ]}
        />
      </Panel>
    </>
  );
}

function ValuePanel({
  title,
  values,
  of,
  format,
}: {
  readonly title: string;
  readonly values: PlanningValues;
  readonly of: 'daysToRipe' | 'lossRate';
  readonly format: (value: number) => string;
}) {
  return (
    <Panel title={title}>
      <IntervalRows
        title={title}
        desc={t('rates.planning.desc')}
        from={0}
        format={format}
        legend={<PlotLegend start />}
        rows={values.items.map((strain) => {
          const { value, low, high, n, origin, published } = strain[of];
          return {
            ...{ key: strain.strainId, value, low, high, start: published.value },
            label: t('format.strain', { code: strain.strainCode, name: strain.strainName }),
            note:
              origin === 'learned'
                ? t('rates.n', { n: formatCount(n) })
                : origin === 'farm'
                  ? t('rates.note.farm')
                  : t('rates.note.published'),
          };
        })}
      />
    </Panel>
  );
}
