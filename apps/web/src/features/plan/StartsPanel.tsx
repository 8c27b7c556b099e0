import type { OrderJson, PlanReview } from '@jarfold/contracts';
import { daysBetween, jarsInHand } from '@jarfold/domain';
import { type FormEvent, useState } from 'react';
import { usePin } from '../../api/plan.js';
import { useRuns } from '../../api/runs.js';
import { t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { byWeek } from '../../ui/by-week.js';
import { Failure } from '../../ui/Failure.js';
import { TextField } from '../../ui/Field.js';
import { formatDay, formatMass, formatShare } from '../../ui/format/index.js';
import { Panel } from '../../ui/Panel.js';
import { Tape } from '../../ui/Tape.js';

type Start = PlanReview['starts'][number];

/** What is agreed on now lies in the next weeks; later starts move with every week that passes. */
const WEEKS_OPEN = 2;

const HOLDS = {
  proposed: 'state.start.proposed',
  accepted: 'state.start.accepted',
  pinned: 'state.start.pinned',
  prepared: 'state.start.prepared',
} as const;

/** Every start with what it is for, why now, and what skipping it would do. */
export function StartsPanel({ plan, mayDecide }: { readonly plan: PlanReview; readonly mayDecide: boolean }) {
  const pin = usePin();
  return (
    <Panel title={t('plan.starts')}>
      {pin.error && <Failure error={pin.error} />}
      {plan.starts.length === 0 && <p>{t('plan.noStarts')}</p>}
      {mayDecide && plan.starts.length > 0 && <p className="soft">{t('plan.pinLead')}</p>}
      {byWeek(plan.starts, ({ benchDay }) => benchDay).map(({ week, span, items }, index) => (
        <details key={week} className="more" open={index < WEEKS_OPEN}>
          <summary>{t('plan.startsOfWeek', { week, span, jars: jarsOf(items) })}</summary>
          <ul className="plain stack stack--tight">
            {items.map((start) => (
              <StartItem
                key={start.id}
                start={start}
                asOf={plan.asOf}
                onPin={
                  mayDecide && start.hold !== 'prepared' ? (containers) => pin.mutate(pinOf(start, containers)) : null
                }
                busy={pin.isPending}
              />
            ))}
          </ul>
        </details>
      ))}
    </Panel>
  );
}

const jarsOf = (starts: readonly Start[]) => starts.reduce((sum, { containers }) => sum + containers, 0);

function pinOf({ benchDay, strain, generation, size }: Start, containers: number | null) {
  return { benchDay, strainId: strain.id, generation, sizeId: size.id, containers };
}

function StartItem({
  start,
  asOf,
  onPin,
  busy,
}: {
  readonly start: Start;
  readonly asOf: PlanReview['asOf'];
  readonly onPin: ((containers: number | null) => void) | null;
  readonly busy: boolean;
}) {
  return (
    <li className="plan-start">
      <div>
        <h3>
          {t('plan.start', {
            day: formatDay(start.benchDay),
            jars: t('text.jars', { count: start.containers }),
            strain: start.strain.code,
            generation: start.generation,
            size: start.size.name,
          })}{' '}
          <Tape>{t(HOLDS[start.hold])}</Tape>
        </h3>
        <Reasons start={start} asOf={asOf} />
      </div>
      {onPin && <PinForm start={start} onPin={onPin} busy={busy} />}
    </li>
  );
}

function Reasons({ start, asOf }: { readonly start: Start; readonly asOf: PlanReview['asOf'] }) {
  const orders = useOrders();
  const runs = start.feeds.map(({ runId, run, grams }) => {
    const order = orders.get(runId);
    return order
      ? t('plan.startForOrder', { run, count: jarsInHand(grams, order.size.ripeGrams) })
      : t('plan.startForFeed', { run, mass: formatMass(grams) });
  });
  const mothers = start.mothersLaterGrams + start.reserveGrams;
  return (
    <ul className="plain facts">
      {runs.length > 0 && <li>{t('plan.startFor', { runs: runs.join(', ') })}</li>}
      {mothers > 0 && <li>{t('plan.startForMothers', { mass: formatMass(mothers) })}</li>}
      <li>{whyNow(start, asOf)}</li>
      {start.withoutIt && <li>{skipped(start.withoutIt)}</li>}
    </ul>
  );
}

/** Orders are told in jars; which feed is one, the list of runs knows. */
function useOrders(): ReadonlyMap<string, OrderJson> {
  const { data } = useRuns('planned');
  return new Map((data?.items ?? []).flatMap((run) => (run.kind === 'order' ? [[run.id, run] as const] : [])));
}

/** Later would do for what is expected; the days in between are what late ripening and bad jars may take. */
function whyNow({ isLastSafeDay, benchDay, lastSafeDay }: Start, asOf: PlanReview['asOf']): string {
  if (!isLastSafeDay)
    return t('plan.startCanWait', { day: formatDay(lastSafeDay), days: daysBetween(benchDay, lastSafeDay) });
  return benchDay === asOf ? t('plan.startLast') : t('plan.startLastDay', { day: formatDay(benchDay) });
}

function skipped(withoutIt: NonNullable<Start['withoutIt']>): string {
  if (withoutIt.length === 0) return t('plan.startSkipNothing');
  const worst = [...withoutIt].sort((a, b) => b.before - b.probability - (a.before - a.probability));
  const runs = worst
    .slice(0, SKIPPED_SHOWN)
    .map(({ run, before, probability }) =>
      t('plan.startSkipRun', { run, before: formatShare(before), now: formatShare(probability) }),
    );
  return t('plan.startSkip', { runs: runs.join(', '), more: Math.max(0, worst.length - SKIPPED_SHOWN) });
}

/** Those that fall furthest say enough; a start in a chain of mothers touches a dozen runs. */
const SKIPPED_SHOWN = 3;

/** A lead's word: exactly so many, through every replan. */
function PinForm({
  start,
  onPin,
  busy,
}: {
  readonly start: Start;
  readonly onPin: (containers: number | null) => void;
  readonly busy: boolean;
}) {
  const [jars, setJars] = useState(String(start.containers));
  const named = {
    ...{ strain: start.strain.code, generation: start.generation },
    ...{ size: start.size.name, day: formatDay(start.benchDay) },
  };
  const submit = (event: FormEvent) => {
    event.preventDefault();
    const count = Number(jars);
    if (Number.isInteger(count) && count >= 0) onPin(count);
  };
  return (
    <form className="row plan-start__pin" onSubmit={submit} aria-label={t('plan.pinOf', named)}>
      <TextField
        label={t('field.pinnedJars')}
        inputMode="numeric"
        value={jars}
        onChange={(event) => setJars(event.target.value)}
      />
      <Button type="submit" busy={busy} aria-label={t('plan.pinNamed', named)}>
        {t('command.pin')}
      </Button>
      {start.hold === 'pinned' && (
        <Button busy={busy} onClick={() => onPin(null)} aria-label={t('plan.unpinNamed', named)}>
          {t('command.unpin')}
        </Button>
      )}
    </form>
  );
}
