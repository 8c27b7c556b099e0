import { usePlanningValues } from '../../api/rates.js';
import { t } from '../../messages/translate.js';
import { LinkButton } from '../../ui/Button.js';
import { DataTable } from '../../ui/DataTable.js';
import { originWords } from './estimate-words.js';
import { planningRows, planningWords } from './planning-rows.js';

/** What plans of one strain use now and where each value comes from, beside the boxes that would change it. */
export function PlanningFacts({ strainId }: { readonly strainId: string }) {
  const values = usePlanningValues();
  const strain = values.data?.items.find((each) => each.strainId === strainId);
  if (!strain) return null;
  return (
    <section className="stack stack--tight">
      <h3>{t('rates.planning.now')}</h3>
      <DataTable
        caption={t('rates.planning.now')}
        rows={planningRows(strain)}
        rowKey={({ key }) => key}
        columns={[
          { key: 'what', head: t('column.value'), cell: ({ what }) => what },
          { key: 'now', head: t('column.now'), numeric: true, cell: planningWords },
          { key: 'origin', head: t('column.origin'), cell: ({ value }) => originWords(value) },
        ]}
      />
      <div>
        <LinkButton look="quiet" href="/rates">
          {t('screen.rates')}
        </LinkButton>
      </div>
    </section>
  );
}
