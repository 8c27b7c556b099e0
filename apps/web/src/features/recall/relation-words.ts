import { t } from '../../messages/translate.js';
import type { RecalledJar } from './lineage-steps.js';

/** How a jar is related, in a sentence's words. */
export function relationWords({ relation, steps }: Pick<RecalledJar, 'relation' | 'steps'>): string {
  switch (relation) {
    case 'asked':
      return t('recall.relation.asked');
    case 'ancestor':
      return t('recall.relation.ancestor', { steps: steps ?? 0 });
    case 'descendant':
      return t('recall.relation.descendant', { steps: steps ?? 0 });
    default:
      return t('recall.relation.sister');
  }
}

/** The same short enough to stand under a jar. */
export function relationBadge({ relation, steps }: Pick<RecalledJar, 'relation' | 'steps'>): string {
  switch (relation) {
    case 'asked':
      return t('recall.badge.asked');
    case 'ancestor':
      return t('recall.badge.ancestor', { steps: steps ?? 0 });
    case 'descendant':
      return t('recall.badge.descendant', { steps: steps ?? 0 });
    default:
      return t('recall.badge.sister');
  }
}
