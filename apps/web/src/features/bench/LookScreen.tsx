import { refusedListSchema } from '@jarfold/contracts';
import { useEffect } from 'react';
import { t } from '../../messages/translate.js';
import { ask } from '../../offline/http-net.js';
import type { BenchCore } from '../../offline/index.js';
import { BenchScreen } from './BenchScreen.js';
import { BigButton } from './BigButton.js';
import { useBench } from './bench-context.js';
import { jarCodesOf } from './entry-jars.js';
import { entrySummary } from './entry-summary.js';
import { formatMoment } from './moment.js';

/** Entries the farm's rules refused once they arrived: each with its reason and a way out. Nothing waits behind them. */
export default function LookScreen() {
  const { core, status, farm } = useBench();
  useEffect(() => void putAwaySettled(core), [core]);
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

/** What a lead has settled at the desk meanwhile needs no look here any more. Without the server all of it stays. */
async function putAwaySettled(core: BenchCore): Promise<void> {
  const answer = await ask('/api/bench/refused', refusedListSchema);
  if (answer.kind !== 'ok' || answer.body.items.length >= SHOWN_BY_THE_SERVER) return;
  const open = new Set(answer.body.items.map(({ entry }) => entry.id));
  const settled = core.status().needsLook.filter(({ id, state }) => state === 'refused' && !open.has(id));
  for (const { id } of settled) await core.putAway(id);
}

/** A longer list is cut, and an entry missing from it says nothing. */
const SHOWN_BY_THE_SERVER = 200;
