import { t } from '../../messages/translate.js';
import { formatNumber } from '../../ui/format/index.js';

/** `14.3 min`; tenths are as much as a probe can tell, hundredths only where there is next to nothing. */
export const formatF0 = (f0Min: number): string =>
  t('format.minutes', { minutes: formatNumber(f0Min < 1 ? f0Min : Math.round(f0Min * 10) / 10) });
