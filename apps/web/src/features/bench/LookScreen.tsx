import { t } from '../../messages/translate.js';
import { BenchScreen } from './BenchScreen.js';
import { BigButton } from './BigButton.js';
import { useBench } from './bench-context.js';
import { jarCodesOf } from './entry-jars.js';
import { entrySummary } from './entry-summary.js';
import { formatMoment } from './moment.js';

/** Entries the farm's rules refused once they arrived: each with its reason and a way out. Nothing waits behind them. */
export default function LookScreen() {
  const { core, status, farm } = useBench();
  return (
    <BenchScreen title={t('screen.needsLook')}>
      {status.needsLook.length === 0 && <p>{t('bench.look.none')}</p>}
      {status.needsLook.map((entry) => (
        <article key={entry.id} className="look">
          <h2>{entrySummary(entry)}</h2>
          <p>{t('bench.look.when', { moment: formatMoment(entry.atMs, farm.farm.timeZone) })}</p>
          <p>{jarCodesOf(entry, core.view).join(', ')}</p>
          <p className="look__why">{entry.refusal?.message}</p>
          <p>{t(entry.state === 'unsendable' ? 'bench.look.unsendable' : 'bench.look.wayOut')}</p>
          <BigButton onClick={() => void core.putAway(entry.id)}>{t('command.putAway')}</BigButton>
        </article>
      ))}
    </BenchScreen>
  );
}
