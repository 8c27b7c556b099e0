import type { PlanReview } from '@jarfold/contracts';
import { type FormEvent, useState } from 'react';
import { usePin } from '../../api/plan.js';
import { t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { Failure } from '../../ui/Failure.js';
import { TextField } from '../../ui/Field.js';
import { formatDay, formatMass, formatShare } from '../../ui/format/index.js';
import { Panel } from '../../ui/Panel.js';
import { Tape } from '../../ui/Tape.js';

type Start = PlanReview['starts'][number];

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
      <ul className="plain stack stack--tight">
        {plan.starts.map((start) => (
          <StartItem
            key={start.id}
            start={start}
            asOf={plan.asOf}
            onPin={mayDecide && start.hold !== 'prepared' ? (containers) => pin.mutate(pinOf(start, containers)) : null}
            busy={pin.isPending}
          />
        ))}
      </ul>
    </Panel>
  );
}

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
          {formatDay(start.benchDay)}{' '}
          {t('plan.start', {
            jars: t('text.jars', { count: start.containers }),
            strain: start.strain.code,
            generation: start.generation,
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
  const runs = start.feeds.map(({ run, grams }) => t('plan.startForFeed', { run, mass: formatMass(grams) }));
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

function whyNow({ isLastSafeDay, benchDay, lastSafeDay }: Start, asOf: PlanReview['asOf']): string {
  if (!isLastSafeDay) return t('plan.startCanWait', { day: formatDay(lastSafeDay) });
  return benchDay === asOf ? t('plan.startLast') : t('plan.startLastDay', { day: formatDay(benchDay) });
}

function skipped(withoutIt: NonNullable<Start['withoutIt']>): string {
  if (withoutIt.length === 0) return t('plan.startSkipNothing');
  const runs = withoutIt.map(({ run, before, probability }) =>
    t('plan.startSkipRun', { run, before: formatShare(before), now: formatShare(probability) }),
  );
  return t('plan.startSkip', { runs: runs.join(', ') });
}

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
  const named = { strain: start.strain.code, day: formatDay(start.benchDay) };
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
