import { useGrainStock } from '../../api/preparation.js';
import { t } from '../../messages/translate.js';
import { LinkButton } from '../../ui/Button.js';
import { needWords, onHandWords, reachWords } from '../../ui/grain-words.js';

/** Beside a preparation: what there is of its grain, what is needed, and when to buy. Nothing on a farm that counts none. */
export function GrainInStock({ grain }: { readonly grain: string }) {
  const stock = useGrainStock();
  const item = stock.data?.items.find(({ grain: { key } }) => key === grain);
  if (item === undefined || item.state === 'not-counted') return null;
  return (
    <>
      <p>{[`${onHandWords(item)}.`, needWords(item), reachWords(item)].filter(Boolean).join(' ')}</p>
      {item.state === 'out-of-date' && (
        <div>
          <LinkButton href="/preparation">{t('grain.stock')}</LinkButton>
        </div>
      )}
    </>
  );
}
