import './plan.css';
import type { PlanReview } from '@jarfold/contracts';
import { type FormEvent, useState } from 'react';
import { useAcceptPlan, useReview, useSetAssurance } from '../../api/plan.js';
import { useIsLead } from '../../api/session.js';
import { t } from '../../messages/translate.js';
import { Button, LinkButton } from '../../ui/Button.js';
import { Failure } from '../../ui/Failure.js';
import { TextField } from '../../ui/Field.js';
import { formatCount, formatDay, formatMoment, formatNumber, formatShare } from '../../ui/format/index.js';
import { Notice } from '../../ui/Notice.js';
import { Panel } from '../../ui/Panel.js';
import { QueryStates } from '../../ui/QueryStates.js';
import { NothingYet } from '../../ui/Waiting.js';
import { limitWords, planDetail } from '../week/limit-words.js';
import { ChangesPanel } from './ChangesPanel.js';
import { GroundsList } from './GroundsList.js';
import { StartsPanel } from './StartsPanel.js';
import { WhatIfPanel } from './WhatIfPanel.js';

/** The newest plan to agree on: its starts with their reasons, what changed, and what would be if. */
export default function PlanScreen() {
  const review = useReview();
  const mayDecide = useIsLead();
  return (
    <>
      <header className="screen__head">
        <h1>{t('screen.plan')}</h1>
      </header>
      <QueryStates query={review}>
        {({ review: plan, assurance }) =>
          plan === null ? (
            <NothingYet title={t('plan.notYet')}>
              <p>{t('plan.notYetHint')}</p>
            </NothingYet>
          ) : (
            <>
              <AgreePanel plan={plan} assurance={assurance} mayDecide={mayDecide} />
              <StartsPanel plan={plan} mayDecide={mayDecide} />
              <ChangesPanel />
              <WhatIfPanel />
            </>
          )
        }
      </QueryStates>
    </>
  );
}

const PLAN_STATES = {
  proposed: 'state.plan.proposed',
  accepted: 'state.plan.accepted',
  superseded: 'state.plan.superseded',
} as const;

function AgreePanel({
  plan,
  assurance,
  mayDecide,
}: {
  readonly plan: PlanReview;
  readonly assurance: number;
  readonly mayDecide: boolean;
}) {
  const accept = useAcceptPlan();
  return (
    <Panel title={t(PLAN_STATES[plan.status])}>
      <p>{plan.acceptedAt ? t('plan.acceptedOn', { when: formatMoment(plan.acceptedAt) }) : t('plan.acceptLead')}</p>
      {plan.assurance && (
        <p>
          <strong>
            {t('plan.met', {
              met: plan.assurance.met,
              runs: plan.assurance.runs,
              asked: formatShare(plan.assurance.asked),
              draws: formatCount(plan.assurance.draws),
            })}
          </strong>
        </p>
      )}
      {accept.error && <Failure error={accept.error} />}
      {mayDecide && plan.status === 'proposed' && (
        <div>
          <Button look="main" busy={accept.isPending} onClick={() => accept.mutate(plan.planId)}>
            {t('command.acceptPlan')}
          </Button>
        </div>
      )}
      <BelowList below={plan.below} />
      <GroundsList grounds={plan.grounds} />
      {mayDecide && <AssuranceForm assurance={assurance} />}
    </Panel>
  );
}

function BelowList({ below }: { readonly below: PlanReview['below'] }) {
  if (below.length === 0) return null;
  return (
    <Notice tone="care" title={t('plan.below')}>
      <BelowRuns runs={below.slice(0, BELOW_SHOWN)} />
      {below.length > BELOW_SHOWN && (
        <details className="more">
          <summary>{t('plan.moreBelow', { count: below.length - BELOW_SHOWN })}</summary>
          <BelowRuns runs={below.slice(BELOW_SHOWN)} />
        </details>
      )}
    </Notice>
  );
}

/** The soonest are what can still be mended. */
const BELOW_SHOWN = 5;

function BelowRuns({ runs }: { readonly runs: PlanReview['below'] }) {
  return (
    <ul className="plain facts">
      {runs.map((run) => (
        <BelowRun key={run.runId} run={run} />
      ))}
    </ul>
  );
}

/** Which limit, how much of it would do, what can be done, and where. */
function BelowRun({ run }: { readonly run: PlanReview['below'][number] }) {
  const { why, lift, href } = limitWords(run.limit, run.limitWhere);
  return (
    <li>
      <strong>
        {t('plan.belowRun', { run: run.run, day: formatDay(run.day), likely: formatShare(run.probability) })}
      </strong>{' '}
      {why} <span className="soft">{planDetail(run.limit, run.message)}</span>
      <div className="plan__lift">
        <LinkButton look="quiet" href={href}>
          {lift}
        </LinkButton>
      </div>
    </li>
  );
}

function AssuranceForm({ assurance }: { readonly assurance: number }) {
  const set = useSetAssurance();
  const [percent, setPercent] = useState(formatNumber(assurance * 100));
  const submit = (event: FormEvent) => {
    event.preventDefault();
    set.mutate(Number(percent.replace(',', '.')) / 100);
  };
  return (
    <form className="row plan__assurance" onSubmit={submit}>
      <TextField
        label={t('field.assurance')}
        hint={t('plan.assuranceHint')}
        unit="%"
        inputMode="decimal"
        value={percent}
        onChange={(event) => setPercent(event.target.value)}
      />
      <Button type="submit" busy={set.isPending}>
        {t('command.save')}
      </Button>
      {set.error && <Failure error={set.error} />}
    </form>
  );
}
