import { GROWER_HEADER, refusedListSchema } from '@jarfold/contracts';
import { useEffect } from 'react';
import { t } from '../../messages/translate.js';
import { ask } from '../../offline/http-net.js';
import { putAwaySettled } from '../../offline/settled-at-desk.js';
import type { TabletRecord } from '../../offline/tablet-record.js';
import { BenchScreen } from './BenchScreen.js';
import { BigButton } from './BigButton.js';
import { useBench } from './bench-context.js';
import { jarCodesOf } from './entry-jars.js';
import { entrySummary } from './entry-summary.js';
import { formatMoment } from './moment.js';

/** Entries the farm's rules refused once they arrived: each with its reason and a way out. Nothing waits behind them. */
export default function LookScreen() {
  const { core, status, farm, record } = useBench();
  useEffect(() => void putAwaySettled(core, () => stillRefused(record)), [core, record]);
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

/** A longer list is cut, and an entry missing from it says nothing. */
const SHOWN_BY_THE_SERVER = 200;

/** What the server has refused and nobody settled; null without the server, or when another farm is signed in by now. */
async function stillRefused(record: TabletRecord): Promise<ReadonlySet<string> | null> {
  const headers = { [GROWER_HEADER]: (await record.get('growerId')) ?? '' };
  const answer = await ask('/api/bench/refused', refusedListSchema, { headers });
  if (answer.kind !== 'ok' || answer.body.items.length >= SHOWN_BY_THE_SERVER) return null;
  return new Set(answer.body.items.map(({ entry }) => entry.id));
}
