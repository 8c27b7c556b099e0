import { type MessageKey, t } from '../messages/translate.js';
import { Notice } from './Notice.js';

/** Steps that can hurt someone. Each caution is short, names who says so, and gives way to local rules. */
export type Hazard = 'pressure' | 'hotGlass' | 'flame' | 'mould' | 'spores' | 'boiling';

const WORDS = {
  pressure: { title: 'caution.pressure.title', text: 'caution.pressure.text', source: 'caution.pressure.source' },
  hotGlass: { title: 'caution.hotGlass.title', text: 'caution.hotGlass.text', source: 'caution.hotGlass.source' },
  flame: { title: 'caution.flame.title', text: 'caution.flame.text', source: 'caution.flame.source' },
  mould: { title: 'caution.mould.title', text: 'caution.mould.text', source: 'caution.mould.source' },
  spores: { title: 'caution.spores.title', text: 'caution.spores.text', source: 'caution.spores.source' },
  boiling: { title: 'caution.boiling.title', text: 'caution.boiling.text', source: 'caution.boiling.source' },
} as const satisfies Record<Hazard, Record<'title' | 'text' | 'source', MessageKey>>;

export function Caution({ hazards }: { readonly hazards: readonly Hazard[] }) {
  return (
    <Notice tone="care">
      {hazards.map((hazard) => (
        <p key={hazard}>
          <strong>{t(WORDS[hazard].title)}</strong> {t(WORDS[hazard].text)}{' '}
          <span className="small">{t(WORDS[hazard].source)}</span>
        </p>
      ))}
      <p className="small">{t('caution.localFirst')}</p>
    </Notice>
  );
}
