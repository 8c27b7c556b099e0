import './week.css';
import type { Week } from '@jarfold/contracts';
import { addDays, type CalendarDay, calendarDay } from '@jarfold/domain';
import { useLocation, useSearch } from 'wouter';
import { useIsLead } from '../../api/session.js';
import { useNewestPlan, useReplan, useWeek } from '../../api/week.js';
import { t } from '../../messages/translate.js';
import { Button, LinkButton } from '../../ui/Button.js';
import { Failure } from '../../ui/Failure.js';
import { formatDay, formatWeekOf, formatWeekSpan } from '../../ui/format/index.js';
import { Notice } from '../../ui/Notice.js';
import { Panel } from '../../ui/Panel.js';
import { QueryStates } from '../../ui/QueryStates.js';
import { NothingYet } from '../../ui/Waiting.js';
import { ConflictPanel } from '../conflicts/ConflictPanel.js';
import { FlagPanel } from '../watch/FlagPanel.js';
import { DaySheet } from './DaySheet.js';
import { daysOfWork, isQuiet } from './days-of-work.js';
import { InTheWay } from './InTheWay.js';
import { nextDayOfWork } from './next-day-of-work.js';
import { WeekShelf } from './WeekShelf.js';

export function WeekScreen() {
  const chosen = new URLSearchParams(useSearch()).get('week');
  const week = useWeek(chosen);
  return (
    <>
      <header className="screen__head">
        <h1>{t('screen.week')}</h1>
        {week.data && <WeekSteps week={week.data} />}
      </header>
      <ConflictPanel />
      <FlagPanel />
      <QueryStates query={week}>{(data) => <WeekOfWork week={data} />}</QueryStates>
    </>
  );
}

function WeekSteps({ week }: { readonly week: Week }) {
  const [, go] = useLocation();
  const step = (days: number) => go(`/?week=${formatWeekOf(addDays(week.monday, days))}`);
  const now = formatWeekOf(week.today);
  return (
    <div className="row">
      <Button onClick={() => step(-7)}>{t('command.weekBefore')}</Button>
      <p className="week-name">
        <span className="numeric">{week.week}</span>
        <span className="soft small">{formatWeekSpan(week.monday)}</span>
      </p>
      <Button onClick={() => step(7)}>{t('command.weekAfter')}</Button>
      {week.week !== now && <Button onClick={() => go('/')}>{t('command.weekNow')}</Button>}
    </div>
  );
}

function WeekOfWork({ week }: { readonly week: Week }) {
  const days = daysOfWork(week);
  const busy = days.filter((work) => !isQuiet(work));
  return (
    <>
      <PlanState week={week} />
      <Panel title={t('week.atAGlance')} aside={<WeekTotals week={week} />}>
        <WeekShelf days={days} today={week.today} />
      </Panel>
      <div className="week-columns">
        <div className="stack">
          {busy.map((work) => (
            <DaySheet key={work.day} work={work} today={week.today} />
          ))}
          {busy.length === 0 && week.planId !== null && (
            <Panel title={t('week.work')}>
              <NothingYet title={t('week.quiet')}>
                <p className="soft">{t('week.quietHint')}</p>
              </NothingYet>
            </Panel>
          )}
          <NextWork after={week.sunday} />
        </div>
        <InTheWay week={week} />
      </div>
    </>
  );
}

/** The way to the next week with work in it. */
function NextWork({ after }: { readonly after: CalendarDay }) {
  const plan = useNewestPlan();
  const next = plan.data?.newest ? nextDayOfWork(plan.data.newest.plan, after) : null;
  if (next === null) return null;
  return (
    <div>
      <LinkButton href={`/?week=${formatWeekOf(next)}`}>{t('week.nextWork', { day: formatDay(next) })}</LinkButton>
    </div>
  );
}

/** Whether what is shown was planned with the newest facts. */
function PlanState({ week }: { readonly week: Week }) {
  const replan = useReplan();
  const mayReplan = useIsLead();
  if (week.planId === null) {
    return (
      <Notice title={week.freshness === 'being-made' ? t('week.firstPlan') : t('week.noPlan')} live>
        <p>{t('week.noPlanHint')}</p>
        {replan.error && <Failure error={replan.error} />}
        <div className="row">
          {mayReplan && (
            <Button look="main" busy={replan.isPending} onClick={() => replan.mutate()}>
              {t('command.replan')}
            </Button>
          )}
          <LinkButton href="/runs">{t('screen.runs')}</LinkButton>
        </div>
      </Notice>
    );
  }
  return (
    <div className="row row--apart">
      <p className="soft" role="status">
        {week.freshness === 'being-made'
          ? t('week.beingMade')
          : t('week.plannedOn', { day: week.planAsOf ? formatDay(calendarDay(week.planAsOf)) : '' })}
      </p>
      {replan.error && <Failure error={replan.error} />}
      <div className="row">
        <Hindrances week={week} />
        {mayReplan && (
          <Button busy={replan.isPending} onClick={() => replan.mutate()}>
            {t('command.replan')}
          </Button>
        )}
      </div>
    </div>
  );
}

/** On a narrow screen what is in the way stands below the work; this says so above it. */
function Hindrances({ week }: { readonly week: Week }) {
  const { shortages, stranded } = week;
  if (shortages.length + stranded.length === 0) return null;
  const words = [
    shortages.length > 0 ? t('week.hindrances.runs', { count: shortages.length }) : null,
    stranded.length > 0 ? t('week.hindrances.jars', { count: stranded.length }) : null,
  ];
  return (
    <a className="hindrances" href="#in-the-way">
      {words.filter(Boolean).join(', ')}
    </a>
  );
}

function WeekTotals({ week }: { readonly week: Week }) {
  return (
    <p className="soft">
      {t('week.totals', {
        ...{ jars: week.totals.starts, cycles: week.totals.cycles },
        runs: week.runs.filter(({ run }) => run.order === null).length,
        orders: week.runs.filter(({ run }) => run.order !== null).length,
      })}
    </p>
  );
}
