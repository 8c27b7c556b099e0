import { t } from '../messages/translate.js';
import { Notice } from '../ui/Notice.js';
import { useOnline } from '../ui/use-online.js';

export function OfflineBanner() {
  if (useOnline()) return null;
  return (
    <Notice tone="care" title={t('text.offline.title')} live>
      <p>{t('text.offline.detail')}</p>
    </Notice>
  );
}
