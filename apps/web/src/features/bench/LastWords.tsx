import { t } from '../../messages/translate.js';
import type { OwnEntry } from '../../offline/index.js';
import { Notice } from '../../ui/Notice.js';
import { labelsAddress } from '../labels/labels-address.js';
import { type LastOutcome, useBench } from './bench-context.js';
import { jarCodesOf } from './entry-jars.js';
import { entrySummary } from './entry-summary.js';
import { formatTime } from './moment.js';
import { adviceWords, impossibleWords } from './refusal-words.js';

const MOST_CODES = 4;

/** What the last tap came to, in words: saved, taken back, or why it cannot be. */
export function LastWords() {
  const { last } = useBench();
  return (
    <div className="last-words" aria-live="polite">
      {last && <Words last={last} />}
    </div>
  );
}

function Words({ last }: { readonly last: LastOutcome }) {
  const { core, farm } = useBench();
  const zone = farm.farm.timeZone;
  switch (last.kind) {
    case 'saved': {
      const codes = jarCodesOf(last.entry, core.view);
      const named = codes.length > MOST_CODES ? [...codes.slice(0, MOST_CODES), '…'] : codes;
      const what = { what: entrySummary(last.entry), codes: named.join(', '), time: formatTime(last.entry.atMs, zone) };
      return (
        <Notice tone={last.warnings.length > 0 ? 'care' : 'plain'} title={t('bench.last.saved', what)}>
          <PrintLot entry={last.entry} />
          {last.warnings.map((warning) => (
            <p key={`${warning.code}${JSON.stringify(warning.details)}`}>{adviceWords(warning)}</p>
          ))}
        </Notice>
      );
    }
    case 'taken-back':
      return <Notice title={t('bench.last.takenBack', { what: entrySummary(last.entry) })} />;
    case 'in-the-way':
      return (
        <Notice
          tone="care"
          title={t('bench.last.inTheWay', { what: entrySummary(last.entry), time: formatTime(last.entry.atMs, zone) })}
        />
      );
    case 'not-stored':
      return (
        <Notice tone="alarm" title={t('bench.last.notStored')}>
          <p>{t('bench.last.notStoredAdvice')}</p>
        </Notice>
      );
    case 'impossible':
      return (
        <Notice tone="alarm" title={t('bench.last.impossible')}>
          {last.obstacles.slice(0, 3).map((obstacle) => (
            <p key={JSON.stringify(obstacle)}>{impossibleWords(obstacle)}</p>
          ))}
        </Notice>
      );
  }
}

const MAKES_A_LOT: ReadonlySet<string> = new Set(['inoculated', 'received', 'culture_made', 'blanks_kept']);

/** Labels of a lot just made, one tap away. The server draws them, so it has to know of the lot first. */
function PrintLot({ entry }: { readonly entry: OwnEntry }) {
  const { core } = useBench();
  const lotId = entry.payload.lotId;
  if (!MAKES_A_LOT.has(entry.kind) || typeof lotId !== 'string') return null;
  const sent = core.own().some(({ id, state }) => id === entry.id && state === 'applied');
  if (!sent) return <p>{t('bench.last.labelsOnceSent')}</p>;
  return (
    <a className="big big--plain" href={labelsAddress({ lotId })} target="_blank" rel="noopener">
      <span className="big__words">{t('command.printLotLabels')}</span>
    </a>
  );
}
