import './runs.css';
import type { Farm, Run, RunList } from '@jarfold/contracts';
import { useQueryClient } from '@tanstack/react-query';
import { useEffect, useState } from 'react';
import { keys } from '../../api/keys.js';
import { useRuns } from '../../api/runs.js';
import { useIsLead } from '../../api/session.js';
import { useWeek } from '../../api/week.js';
import { t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { byWeek } from '../../ui/by-week.js';
import { CheckField } from '../../ui/Field.js';
import { formatDay } from '../../ui/format/index.js';
import { Panel } from '../../ui/Panel.js';
import { QueryStates } from '../../ui/QueryStates.js';
import { NothingYet } from '../../ui/Waiting.js';
import { CancelRunSheet } from './CancelRunSheet.js';
import { RunCard } from './RunCard.js';
import { RunSheet } from './RunSheet.js';

type Open = { readonly kind: 'add' } | { readonly kind: 'edit' | 'cancel'; readonly run: Run } | null;

export default function RunsScreen({ farm }: { readonly farm: Farm }) {
  const [all, setAll] = useState(false);
  const [open, setOpen] = useState<Open>(null);
  const runs = useRuns(all ? 'all' : 'planned');
  const mayChange = useIsLead();
  const close = () => setOpen(null);
  return (
    <>
      <header className="screen__head">
        <h1>{t('screen.runs')}</h1>
        {mayChange && (
          <Button look="main" onClick={() => setOpen({ kind: 'add' })}>
            {t('command.addRun')}
          </Button>
        )}
      </header>
      <div className="row row--apart">
        <PlanBehind list={runs.data} />
        <CheckField label={t('field.showAllRuns')} checked={all} onChange={(event) => setAll(event.target.checked)} />
      </div>
      <QueryStates query={runs}>
        {({ items }) => (
          <Runs
            runs={items}
            mayChange={mayChange}
            onAdd={() => setOpen({ kind: 'add' })}
            onEdit={(run) => setOpen({ kind: 'edit', run })}
            onCancel={(run) => setOpen({ kind: 'cancel', run })}
          />
        )}
      </QueryStates>
      {open?.kind === 'add' && <RunSheet farm={farm} run={null} onClose={close} />}
      {open?.kind === 'edit' && <RunSheet farm={farm} run={open.run} onClose={close} />}
      {open?.kind === 'cancel' && <CancelRunSheet run={open.run} onClose={close} />}
    </>
  );
}

/** Which plan the coverage comes from; while a newer one is being made the week is asked until it stands. */
function PlanBehind({ list }: { readonly list: RunList | undefined }) {
  const week = useWeek(null);
  const client = useQueryClient();
  const newest = week.data?.planId ?? null;
  const shown = list?.planId ?? null;
  // A plan that the worker finished later reaches this screen by the week, which is asked until it stands.
  useEffect(() => {
    if (newest !== null && newest !== shown) void client.invalidateQueries({ queryKey: [...keys.runs] });
  }, [newest, shown, client]);
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
  mayChange,
  onAdd,
  onEdit,
  onCancel,
}: {
  readonly runs: readonly Run[];
  readonly mayChange: boolean;
  readonly onAdd: () => void;
  readonly onEdit: (run: Run) => void;
  readonly onCancel: (run: Run) => void;
}) {
  if (runs.length === 0) {
    return (
      <Panel title={t('runs.none')}>
        <NothingYet title={t('runs.noneHint')}>
          {mayChange && <Button onClick={onAdd}>{t('command.addRun')}</Button>}
        </NothingYet>
      </Panel>
    );
  }
  return (
    <>
      {byWeek(byName(runs), ({ day }) => day).map(({ week, span, items }) => (
        <Panel key={week} title={week} aside={<p className="soft">{span}</p>}>
          <ul className="plain run-list">
            {items.map((run) => (
              <RunCard
                key={run.id}
                run={run}
                change={mayChange ? { onEdit: () => onEdit(run), onCancel: () => onCancel(run) } : null}
              />
            ))}
          </ul>
        </Panel>
      ))}
    </>
  );
}

const byName = (runs: readonly Run[]) => [...runs].sort((a, b) => a.name.localeCompare(b.name));
