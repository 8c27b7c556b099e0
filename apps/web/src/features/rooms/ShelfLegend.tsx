import { type MessageKey, t } from '../../messages/translate.js';
import { Glass, type GlassProps } from '../../ui/drawing/Glass.js';
import { lookOfState } from '../../ui/drawing/jar-look.js';

const ENTRIES: readonly { readonly look: GlassProps; readonly words: MessageKey }[] = [
  { look: lookOfState('incubating'), words: 'state.incubating' },
  { look: lookOfState('ripe'), words: 'state.ripe' },
  { look: lookOfState('chilled'), words: 'state.chilled' },
  { look: lookOfState('opened'), words: 'state.opened' },
  { look: { colonised: 1, mark: 'mother' }, words: 'state.mother' },
  { look: { colonised: 1, mark: 'stranded' }, words: 'freshness.soonOrPast' },
  { look: lookOfState('contaminated'), words: 'state.contaminated' },
];

export function ShelfLegend() {
  return (
    <ul className="legend plain">
      {ENTRIES.map(({ look, words }) => (
        <li key={words}>
          <Glass size="small" {...look} />
          {t(words)}
        </li>
      ))}
    </ul>
  );
}
