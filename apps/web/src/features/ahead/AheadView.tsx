import './ahead.css';
import type { Farm } from '@jarfold/contracts';
import { useAhead } from '../../api/ahead.js';
import { t } from '../../messages/translate.js';
import { LinkButton } from '../../ui/Button.js';
import { QueryStates } from '../../ui/QueryStates.js';
import { HarvestPanel } from './HarvestPanel.js';
import { PromisePanel } from './PromisePanel.js';
import { SpawnPanel } from './SpawnPanel.js';

const WEEKS = 12;

/** What lies ahead: harvest and spawn by week, and what a promise asks of the farm. */
export function AheadView({ farm }: { readonly farm: Farm }) {
  const ahead = useAhead(WEEKS);
  return (
    <QueryStates query={ahead}>
      {(data) => (
        <>
          <HarvestPanel ahead={data} />
          <PromisePanel strains={farm.strains.filter(({ archived }) => !archived)} />
          <SpawnPanel ahead={data} />
          <div className="row">
            <LinkButton href="/rates/yield">{t('ahead.bearing')}</LinkButton>
          </div>
        </>
      )}
    </QueryStates>
  );
}
