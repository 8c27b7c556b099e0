import type { WeekPreparation, WeekRun, WeekSource, WeekStart } from '@jarfold/contracts';
import { type CalendarDay, mondayOf } from '@jarfold/domain';
import type { ReactNode } from 'react';
import { t } from '../../messages/translate.js';
import { Caution } from '../../ui/Caution.js';
import { Glass } from '../../ui/drawing/Glass.js';
import { CrateDrawing, MoveDrawing, PlateDrawing, PotDrawing, SackDrawing } from '../../ui/drawing/Objects.js';
import {
  formatCount,
  formatDay,
  formatDistance,
  formatLongDay,
  formatMass,
  formatShare,
  formatVolume,
} from '../../ui/format/index.js';
import { Panel } from '../../ui/Panel.js';
import { placeWords } from '../../ui/place-words.js';
import { Tape } from '../../ui/Tape.js';
import type { DayOfWork } from './days-of-work.js';
import { GrainInStock } from './GrainInStock.js';
import { coveredShare, jarsToHandOver, orderCoverage } from './order-words.js';

/** One day's work in the order it is done: prepare grain, start jars, move jars, spawn the runs. */
export function DaySheet({ work, today }: { readonly work: DayOfWork; readonly today: CalendarDay }) {
  return (
    <Panel
      className="day-sheet"
      title={formatLongDay(work.day)}
      aside={
        mondayOf(work.day) === mondayOf(today) ? <p className="soft">{formatDistance(today, work.day)}</p> : undefined
      }
    >
      {work.preparations.map((preparation) => (
        <Preparation key={preparation.benchDay} preparation={preparation} />
      ))}
      {work.starts.length > 0 && <Starts starts={work.starts} />}
      {work.moves.length > 0 && <Moves moves={work.moves} />}
      {work.runs.map((run) => (
        <RunDraw key={run.run.id} run={run} uses={run.uses.filter((use) => use.day === work.day)} />
      ))}
      {work.earlyUses.map(({ run, use }) => (
        <RunDraw key={`${run.run.id} ${use.from.label}`} run={run} uses={[use]} />
      ))}
      {work.cultures.map((culture) => (
        <Job
          key={culture.id}
          picture={<PlateDrawing />}
          title={t('week.culture.title', { strain: culture.strain.name })}
        >
          <p>{t('week.culture.detail', { units: culture.units, ready: formatDay(culture.readyOn) })}</p>
        </Job>
      ))}
    </Panel>
  );
}

function Job({
  picture,
  title,
  children,
}: {
  readonly picture: ReactNode;
  readonly title: string;
  readonly children: ReactNode;
}) {
  return (
    <div className="job">
      <div className="job__picture">{picture}</div>
      <div className="job__text stack stack--tight">
        <h3>{title}</h3>
        {children}
      </div>
    </div>
  );
}

function Preparation({ preparation }: { readonly preparation: WeekPreparation }) {
  const { grain, jars, cycles, benchDay } = preparation;
  return (
    <Job picture={<PotDrawing />} title={t('week.prepare.title', { day: formatDay(benchDay) })}>
      <dl className="amounts">
        {jars.map(({ size, count }) => (
          <Amount key={size.id} label={t('week.prepare.jars', { size: size.name })} value={formatCount(count)} />
        ))}
        <Amount label={t('week.prepare.grain', { grain: grain.grainName })} value={formatMass(grain.dryGrainG)} />
        <Amount label={t('week.prepare.water')} value={formatVolume(grain.cookingWaterMl)} />
        <Amount label={t('week.prepare.takenUp')} value={formatVolume(grain.waterTakenUpMl)} />
        {grain.gypsumG > 0 && <Amount label={t('week.prepare.gypsum')} value={formatMass(grain.gypsumG)} />}
        {grain.chalkG > 0 && <Amount label={t('week.prepare.chalk')} value={formatMass(grain.chalkG)} />}
        <Amount label={t('week.prepare.cycles')} value={formatCount(cycles)} />
      </dl>
      <GrainInStock grain={grain.grainKey} />
      <p className="soft small">
        {t('week.prepare.moisture', {
          share: formatShare(grain.targetMoisture),
          source: grain.source ?? t('text.noSource'),
        })}
      </p>
      <Caution hazards={['pressure', 'hotGlass']} />
    </Job>
  );
}

function Amount({ label, value }: { readonly label: string; readonly value: string }) {
  return (
    <div className="amount">
      <dt>{label}</dt>
      <dd>{value}</dd>
    </div>
  );
}

function Starts({ starts }: { readonly starts: readonly WeekStart[] }) {
  return (
    <div className="stack">
      {starts.map((start) => (
        <Start key={start.id} start={start} />
      ))}
      <Caution hazards={['flame', 'mould']} />
    </div>
  );
}

const MOST_JARS_DRAWN = 60;

function Start({ start }: { readonly start: WeekStart }) {
  return (
    <article className="start">
      <header className="start__head">
        <Tape size="large">{t('week.start.tape', { strain: start.strain.code, generation: start.generation })}</Tape>
        <h3 className="start__count">
          <span className="start__number">{formatCount(start.containers)}</span>{' '}
          <span>
            {t('week.start.jars', { count: start.containers, size: start.size.name, strain: start.strain.name })}
          </span>
        </h3>
      </header>
      <div className="board" aria-hidden="true">
        {Array.from({ length: Math.min(start.containers, MOST_JARS_DRAWN) }, (_, index) => (
          // biome-ignore lint/suspicious/noArrayIndexKey: identical drawings without identity
          <span key={index}>
            <Glass size="small" colonised={0.08} />
          </span>
        ))}
        <span className="board__rest">
          {start.containers > MOST_JARS_DRAWN ? t('text.more', { count: start.containers - MOST_JARS_DRAWN }) : ''}
        </span>
      </div>
      <div className="start__facts">
        <div>
          <h4>{t('week.start.from')}</h4>
          <Sources sources={start.mothers} />
        </div>
        <div>
          <h4>{t('week.start.for')}</h4>
          <ul className="plain facts">
            {start.feeds.map(({ run, grams }) => (
              <li key={run.id}>
                <strong>{run.name}</strong>{' '}
                {run.order
                  ? t('week.start.feedJars', { day: formatDay(run.day), count: jarsToHandOver(run.order, grams) })
                  : t('week.start.feed', { day: formatDay(run.day), mass: formatMass(grams) })}
              </li>
            ))}
            {start.mothersLaterGrams > 0 && (
              <li>{t('week.start.mothersLater', { mass: formatMass(start.mothersLaterGrams) })}</li>
            )}
            {start.reserveGrams > 0 && <li>{t('week.start.reserve', { mass: formatMass(start.reserveGrams) })}</li>}
          </ul>
        </div>
        <dl className="facts">
          <div>
            <dt>{t('week.start.ripeOn')}</dt>
            <dd>{formatDay(start.ripeOn)}</dd>
          </div>
          <div>
            <dt>{t('week.start.lastSafeDay')}</dt>
            <dd>
              <strong>{formatDay(start.lastSafeDay)}</strong>
            </dd>
          </div>
        </dl>
      </div>
    </article>
  );
}

function Sources({ sources }: { readonly sources: readonly WeekSource[] }) {
  return (
    <ul className="plain facts">
      {sources.map((source) => (
        <li key={source.label}>
          <SourceName source={source} amount={formatMass(source.grams)} />
        </li>
      ))}
    </ul>
  );
}

/** What to take and how much of it, then where it stands. */
function SourceName({ source, amount }: { readonly source: Omit<WeekSource, 'grams'>; readonly amount: string }) {
  if (source.kind !== 'jar') {
    return (
      <span>
        {source.label} <strong className="numeric">{amount}</strong>
      </span>
    );
  }
  return (
    <span className="source">
      <span>
        <Tape>{source.label}</Tape> <strong className="numeric">{amount}</strong>
      </span>
      <span className="soft">{placeWords(source.place)}</span>
    </span>
  );
}

function Moves({ moves }: { readonly moves: DayOfWork['moves'] }) {
  return (
    <>
      {(['chill', 'warm'] as const).map((kind) => {
        const some = moves.filter((move) => move.kind === kind);
        if (some.length === 0) return null;
        return (
          <Job
            key={kind}
            picture={<MoveDrawing kind={kind} />}
            title={kind === 'chill' ? t('week.move.chill') : t('week.move.warm')}
          >
            <ul className="plain facts">
              {some.map((move) => (
                <li key={move.from.label}>
                  <SourceName source={move.from} amount={t('text.jars', { count: move.containers })} />
                </li>
              ))}
            </ul>
          </Job>
        );
      })}
    </>
  );
}

function RunDraw({ run, uses }: { readonly run: WeekRun; readonly uses: WeekRun['uses'] }) {
  const { coverage } = run;
  const { name, order } = run.run;
  const amountOf = ({ kind, grams }: WeekSource) =>
    order ? t('text.jars', { count: kind === 'jar' ? 1 : jarsToHandOver(order, grams) }) : formatMass(grams);
  return (
    <Job
      picture={order ? <CrateDrawing covered={coveredShare(run)} /> : <SackDrawing covered={coveredShare(run)} />}
      title={
        order
          ? t('week.order.title', { count: coverage.jars?.left ?? order.jars, order: name })
          : t('week.run.title', { run: name })
      }
    >
      <p>
        {order
          ? orderCoverage(run)
          : t('week.run.coverage', {
              covered: formatMass(coverage.coveredGrams),
              target: formatMass(coverage.targetGrams),
              strain: run.strain.name,
            })}{' '}
        {coverage.probability !== null && t('plan.likely', { likely: formatShare(coverage.probability) })}
      </p>
      {order && <p>{t('week.order.whole', { size: order.size.name })}</p>}
      <ul className="plain facts">
        {uses.map(({ from, cold }) => (
          <li key={from.label}>
            <SourceName source={from} amount={amountOf(from)} />
            {cold && <span className="soft">{t('week.run.fromCold')}</span>}
          </li>
        ))}
      </ul>
      {uses.length === 0 && <p>{t('week.run.noSpawn')}</p>}
    </Job>
  );
}
