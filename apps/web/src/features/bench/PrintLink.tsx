import { type MessageKey, t } from '../../messages/translate.js';
import { type LabelsOf, labelsAddress } from '../labels/labels-address.js';
import { useBench } from './bench-context.js';

const MAKES_A_LOT: ReadonlySet<string> = new Set(['inoculated', 'received', 'culture_made', 'blanks_kept']);

/** Opens labels to print. The server draws them, so it has to know of the lot first. */
export function PrintLink({
  lotId,
  of,
  words,
}: {
  readonly lotId: string;
  readonly of: LabelsOf;
  readonly words: MessageKey;
}) {
  const { core } = useBench();
  const made = core.own().find(({ kind, payload }) => MAKES_A_LOT.has(kind) && payload.lotId === lotId);
  if (made && made.state !== 'applied') return <p>{t('bench.last.labelsOnceSent')}</p>;
  return (
    <a className="big big--plain" href={labelsAddress(of)} target="_blank" rel="noopener">
      <span className="big__words">{t(words)}</span>
    </a>
  );
}

/** Whether an entry made a lot, whose labels can then be printed; its id, or null. */
export function lotMadeBy({ kind, payload }: { readonly kind: string; readonly payload: Record<string, unknown> }) {
  return MAKES_A_LOT.has(kind) && typeof payload.lotId === 'string' ? payload.lotId : null;
}
