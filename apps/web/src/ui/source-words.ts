import { t } from '../messages/translate.js';

/** Who published a value, in words; what is only customary says so and names nobody. */
export function sourceWords({
  source,
  confidence,
}: {
  readonly source: string | null;
  readonly confidence: string | null;
}): string {
  return source === null || confidence === 'common practice' ? t('text.noSource') : source;
}
