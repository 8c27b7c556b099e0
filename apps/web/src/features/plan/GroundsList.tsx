import type { PlanReview } from '@jarfold/contracts';
import { t } from '../../messages/translate.js';

type Grounds = PlanReview['grounds'][number];

const SPREADS = {
  strain: 'plan.spreadStrain',
  farm: 'plan.spreadFarm',
  usual: 'plan.spreadUsual',
} as const;

/** What the plan's probabilities rest on, strain by strain. */
export function GroundsList({ grounds }: { readonly grounds: PlanReview['grounds'] }) {
  if (grounds.length === 0) return null;
  return (
    <details className="more">
      <summary>{t('plan.grounds')}</summary>
      <ul className="plain facts">
        {grounds.map((each) => (
          <li key={each.strain}>
            {t('plan.groundsOf', {
              strain: each.strain,
              loss: lossWords(each),
              spread: t(SPREADS[each.spread]),
              ripening:
                each.ripening === 'learned'
                  ? t('plan.ripeningLearned', { jars: each.ripeningJars })
                  : t('plan.ripeningUsual'),
            })}
          </li>
        ))}
      </ul>
    </details>
  );
}

function lossWords({ loss, jars, lots }: Grounds): string {
  if (loss === 'learned') return t('plan.lossLearned', { jars, lots });
  return loss === 'farm' ? t('plan.lossOwn') : t('plan.lossPublished');
}
