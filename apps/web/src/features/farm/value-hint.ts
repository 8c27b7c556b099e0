import type { Species } from '@jarfold/contracts';
import { t } from '../../messages/translate.js';
import { formatMass, formatShare } from '../../ui/format/index.js';

type Sourced = Species['defaults'][keyof Species['defaults']];
type Kind = 'grams' | 'days' | 'share' | 'generation' | 'yesNo';

/** The value that applies when the box is left empty, and who published it. */
export function valueHint(sourced: Sourced | undefined, kind: Kind): string | undefined {
  if (!sourced) return undefined;
  return t('farm.valueHint', { value: valueWords(sourced.value, kind), source: sourced.source ?? t('text.noSource') });
}

function valueWords(value: number | boolean, kind: Kind): string {
  if (typeof value === 'boolean') return value ? t('text.yes') : t('text.no');
  switch (kind) {
    case 'grams':
      return formatMass(value);
    case 'share':
      return formatShare(value);
    case 'generation':
      return t('format.generation', { generation: value });
    default:
      return t('format.days', { days: value });
  }
}
