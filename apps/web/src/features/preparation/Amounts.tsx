import type { BenchPreparation, PreparationWanted } from '@jarfold/domain';
import { t } from '../../messages/translate.js';
import { DataTable } from '../../ui/DataTable.js';
import { Glass } from '../../ui/drawing/Glass.js';
import { formatCount, formatMass, formatShare, formatVolume } from '../../ui/format/index.js';
import { Panel } from '../../ui/Panel.js';

/** What to weigh out, in type that is read from a step away. */
export function Amounts({ result, wanted }: { readonly result: BenchPreparation; readonly wanted: PreparationWanted }) {
  const { jars, grainG, cookingWaterMl, waterTakenUpG, hydratedG, gypsumG, chalkG, perLine } = result;
  const facts = [
    { label: t('preparation.dryGrain', { grain: wanted.grain.name }), value: formatMass(grainG) },
    { label: t('preparation.cookingWater'), value: formatVolume(cookingWaterMl) },
    ...(gypsumG > 0 ? [{ label: t('preparation.gypsum'), value: formatMass(gypsumG) }] : []),
    ...(chalkG > 0 ? [{ label: t('preparation.chalk'), value: formatMass(chalkG) }] : []),
  ];
  return (
    <Panel title={t('preparation.weigh')} aside={<p className="soft">{t('text.jars', { count: jars })}</p>}>
      <div className="prep__picture" aria-hidden="true">
        <Glass size="large" colonised={0} filled={wanted.fillShare} />
      </div>
      <dl className="prep__amounts">
        {facts.map(({ label, value }) => (
          <div key={label}>
            <dt>{label}</dt>
            <dd>{value}</dd>
          </div>
        ))}
      </dl>
      <p>
        {t('preparation.drained', {
          mass: formatMass(hydratedG),
          water: formatVolume(waterTakenUpG),
          share: formatShare(wanted.targetMoisture),
        })}
      </p>
      <DataTable
        caption={t('preparation.perJar')}
        rows={perLine}
        rowKey={({ line }) => `${line.volumeMl} ${line.count}`}
        columns={[
          { key: 'size', head: t('column.size'), cell: ({ line }) => formatVolume(line.volumeMl) },
          { key: 'count', head: t('column.jars'), numeric: true, cell: ({ line }) => formatCount(line.count) },
          {
            key: 'filled',
            head: t('column.intoEach'),
            numeric: true,
            cell: ({ batch }) => formatMass(batch.perJar.hydratedG),
          },
          {
            key: 'dry',
            head: t('column.dryOfEach'),
            numeric: true,
            cell: ({ batch }) => formatMass(batch.perJar.grainG),
          },
        ]}
      />
      <p className="soft small">{t('preparation.derived')}</p>
    </Panel>
  );
}
