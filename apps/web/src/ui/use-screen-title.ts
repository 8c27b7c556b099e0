import { useEffect } from 'react';
import { t } from '../messages/translate.js';

/** What the browser's tab and a screen reader call this screen. */
export function useScreenTitle(screen: string): void {
  useEffect(() => {
    document.title = t('text.documentTitle', { screen });
  }, [screen]);
}
