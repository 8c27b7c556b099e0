import { t } from '../../messages/translate.js';
import type { OwnEntry } from '../../offline/index.js';
import { entryWords } from '../../ui/entry-words.js';

/** An entry in one line: what was done, and to how many jars. */
export function entrySummary({ kind, payload }: Pick<OwnEntry, 'kind' | 'payload'>): string {
  const jars = countJars(payload);
  return jars === null ? entryWords(kind) : t('bench.summary', { what: entryWords(kind), count: jars });
}

function countJars(payload: Readonly<Record<string, unknown>>): number | null {
  for (const name of ['jarIds', 'jars', 'moves', 'draws']) {
    const list = payload[name];
    if (Array.isArray(list)) return list.length;
  }
  return typeof payload.jarId === 'string' ? 1 : null;
}
