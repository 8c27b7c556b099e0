import { t } from '../../messages/translate.js';
import { Notice } from '../../ui/Notice.js';
import { type LastOutcome, useBench } from './bench-context.js';
import { jarCodesOf } from './entry-jars.js';
import { entrySummary } from './entry-summary.js';
import { formatTime } from './moment.js';
import { lotMadeBy, PrintLink } from './PrintLink.js';
import { adviceWords, impossibleWords } from './refusal-words.js';

const MOST_CODES = 4;

/**
 * What the last tap came to, in words: saved, taken back, or why it cannot be. Each tap's words are new on the page, also
 * where they read as the ones before: who listens hears that the second jar is saved too.
 */
export function LastWords() {
  const { last } = useBench();
  return (
    <div className="last-words" aria-live="polite">
      {last && <Words key={last.tap} last={last} />}
    </div>
  );
}

function Words({ last }: { readonly last: LastOutcome }) {
  const { core, farm } = useBench();
  const zone = farm.farm.timeZone;
  switch (last.kind) {
    case 'saved': {
      const codes = jarCodesOf(last.entry, core.view);
      const lotId = lotMadeBy(last.entry);
      const named = codes.length > MOST_CODES ? [...codes.slice(0, MOST_CODES), '…'] : codes;
      const what = { what: entrySummary(last.entry), codes: named.join(', '), time: formatTime(last.entry.atMs, zone) };
      return (
        <Notice tone={last.warnings.length > 0 ? 'care' : 'plain'} title={t('bench.last.saved', what)}>
          {lotId !== null && <PrintLink lotId={lotId} of={{ lotId }} words="command.printLotLabels" />}
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
