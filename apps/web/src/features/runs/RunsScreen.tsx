import './runs.css';
import type { BulkRunJson, Farm, OrderJson, Run, RunList } from '@jarfold/contracts';
import { useQueryClient } from '@tanstack/react-query';
import { type ReactNode, useEffect, useState } from 'react';
import { askAnew } from '../../api/kept-answers.js';
import { keys } from '../../api/keys.js';
import { useChangeRun, useRuns } from '../../api/runs.js';
import { useIsLead } from '../../api/session.js';
import { useWeek } from '../../api/week.js';
import { t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { byWeek } from '../../ui/by-week.js';
import { Failure } from '../../ui/Failure.js';
import { CheckField } from '../../ui/Field.js';
import { formatDay } from '../../ui/format/index.js';
import { Panel } from '../../ui/Panel.js';
import { QueryStates } from '../../ui/QueryStates.js';
import { NothingYet } from '../../ui/Waiting.js';
import { CancelRunSheet } from './CancelRunSheet.js';
import { OrderSheet } from './OrderSheet.js';
import { RunCard, type RunCommands } from './RunCard.js';
import { RunSheet } from './RunSheet.js';

type Open =
  | { readonly sheet: 'run'; readonly run: BulkRunJson | null }
  | { readonly sheet: 'order'; readonly order: OrderJson | null }
  | { readonly sheet: 'cancel'; readonly run: Run }
  | null;

export default function RunsScreen({ farm }: { readonly farm: Farm }) {
  const [all, setAll] = useState(false);
  const [open, setOpen] = useState<Open>(null);
  const runs = useRuns(all ? 'all' : 'planned');
  const change = useChangeRun();
  const mayChange = useIsLead();
  const close = () => setOpen(null);
  const adding = (
    <>
      <Button look="main" onClick={() => setOpen({ sheet: 'run', run: null })}>
        {t('command.addRun')}
      </Button>
      <Button onClick={() => setOpen({ sheet: 'order', order: null })}>{t('command.addOrder')}</Button>
    </>
  );
  const commandsOf = (run: Run): RunCommands => {
    const state = (to: 'planned' | 'done') => () =>
      change.mutate({ kind: 'edit', id: run.id, revision: run.revision, patch: { state: to } });
    return {
      onEdit: () => setOpen(run.kind === 'order' ? { sheet: 'order', order: run } : { sheet: 'run', run }),
      onCancel: () => setOpen({ sheet: 'cancel', run }),
      onDone: state('done'),
      onReopen: state('planned'),
    };
  };
  return (
    <>
      <header className="screen__head">
        <h1>{t('screen.runs')}</h1>
        {mayChange && <div className="row">{adding}</div>}
      </header>
      <div className="row row--apart">
        <PlanBehind list={runs.data} />
        <CheckField label={t('field.showAllRuns')} checked={all} onChange={(event) => setAll(event.target.checked)} />
      </div>
      {change.error && <Failure error={change.error} />}
      <QueryStates query={runs}>
        {({ items }) => (
          <Runs runs={items} commandsOf={mayChange ? commandsOf : null} adding={mayChange ? adding : null} />
        )}
      </QueryStates>
      {open?.sheet === 'run' && <RunSheet farm={farm} run={open.run} onClose={close} />}
      {open?.sheet === 'order' && <OrderSheet farm={farm} order={open.order} onClose={close} />}
      {open?.sheet === 'cancel' && <CancelRunSheet run={open.run} onClose={close} />}
    </>
  );
}

/** Which plan the coverage comes from; while a newer one is being made the week is asked until it stands. */
function PlanBehind({ list }: { readonly list: RunList | undefined }) {
  const week = useWeek(null);
  const client = useQueryClient();
  const newest = week.data?.planId ?? null;
  const loaded = list !== undefined;
  const shown = list?.planId ?? null;
  // A plan that the worker finished later reaches this screen by the week, which is asked until it stands.
  useEffect(() => {
    if (loaded && newest !== null && newest !== shown) void askAnew(client, keys.runs);
  }, [loaded, newest, shown, client]);
  const words = () => {
    if (week.data?.freshness === 'being-made') return t('week.beingMade');
    return list?.planAsOf ? t('runs.coveredBy', { day: formatDay(list.planAsOf) }) : '';
  };
  return (
    <p className="soft" role="status">
      {words()}
    </p>
  );
}

function Runs({
  runs,
  commandsOf,
  adding,
}: {
  readonly runs: readonly Run[];
  readonly commandsOf: ((run: Run) => RunCommands) | null;
  /** The ways to add one; null for those who look only. */
  readonly adding: ReactNode;
}) {
  if (runs.length === 0) {
    return (
      <Panel title={t('runs.none')}>
        <NothingYet title={t('runs.noneHint')}>{adding && <div className="row">{adding}</div>}</NothingYet>
      </Panel>
    );
  }
  return (
    <>
      {byWeek(byName(runs), ({ day }) => day).map(({ week, span, items }) => (
        <Panel key={week} title={week} aside={<p className="soft">{span}</p>}>
          <ul className="plain run-list">
            {items.map((run) => (
              <RunCard key={run.id} run={run} commands={commandsOf?.(run) ?? null} />
            ))}
          </ul>
        </Panel>
      ))}
    </>
  );
}

const byName = (runs: readonly Run[]) => [...runs].sort((a, b) => a.name.localeCompare(b.name));
