import { Link } from 'wouter';
import { t } from '../../messages/translate.js';
import { Glass, type GlassProps } from '../../ui/drawing/Glass.js';
import { lookOfState } from '../../ui/drawing/jar-look.js';
import { Panel } from '../../ui/Panel.js';
import { Tape } from '../../ui/Tape.js';
import { type LineageStep, type LotOfStep, lineageSteps, type RecalledJar } from './lineage-steps.js';
import { recallHref } from './recall-href.js';
import { relationWords } from './relation-words.js';

const MOST_LOTS = 24;
const MOST_GLASSES = 12;

/** The line of inoculations, one shelf to a step: ancestors above, what was asked for, and what was made from it. */
export function LineageDrawing({ jars }: { readonly jars: readonly RecalledJar[] }) {
  return (
    <Panel title={t('recall.lineage')}>
      <ol className="plain lineage">
        {lineageSteps(jars).map((step) => (
          <Step key={`${step.relation} ${step.steps}`} step={step} />
        ))}
      </ol>
    </Panel>
  );
}

function Step({ step }: { readonly step: LineageStep }) {
  const shown = step.lots.slice(0, MOST_LOTS);
  return (
    <li className={`lineage__step lineage__step--${step.relation}`}>
      <h3>
        {relationWords(step)}{' '}
        <span className="soft">{t('recall.stepCount', { jars: step.jars, lots: step.lots.length })}</span>
      </h3>
      <ul className="plain lineage__shelf board">
        {shown.map((lot) => (
          <Lot key={lot.lotId} lot={lot} />
        ))}
        <li className="board__rest" aria-hidden="true" />
      </ul>
      {step.lots.length > shown.length && (
        <p className="soft">{t('recall.moreLots', { count: step.lots.length - shown.length })}</p>
      )}
    </li>
  );
}

function Lot({ lot }: { readonly lot: LotOfStep }) {
  return (
    <li className="lineage__lot">
      <span className="lineage__glasses" aria-hidden="true">
        {lot.jars.slice(0, MOST_GLASSES).map((jar) => (
          <Glass key={jar.jarId} size="small" {...lookOf(jar)} />
        ))}
        {lot.jars.length > MOST_GLASSES && <span>{t('text.more', { count: lot.jars.length - MOST_GLASSES })}</span>}
      </span>
      <Link href={recallHref({ lotId: lot.lotId })} className="lineage__link">
        <Tape>{lot.code}</Tape>
      </Link>
      <span className="small">
        {t('recall.lotCount', { jars: lot.jars.length, standing: lot.standing, contaminated: lot.contaminated })}
      </span>
    </li>
  );
}

/** A jar that went bad is drawn so even after it was thrown away. */
function lookOf({ state, contaminatedOn }: RecalledJar): GlassProps {
  return lookOfState(contaminatedOn !== null ? 'contaminated' : state);
}
