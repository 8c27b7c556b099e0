import { GRAIN_STEPS, type GrainStepName, type LoggedGrainBatch, type SteriliserCycle } from '@jarfold/domain';
import { useCallback, useState } from 'react';
import { type MessageKey, t } from '../../messages/translate.js';
import type { BenchAction } from '../../offline/index.js';
import { Caution, type Hazard } from '../../ui/Caution.js';
import { formatDuration } from '../../ui/format/index.js';
import { BenchScreen } from './BenchScreen.js';
import { BigButton } from './BigButton.js';
import { useBench } from './bench-context.js';
import { minutesSince, useNowMs } from './elapsed.js';
import { FillSheet } from './FillSheet.js';
import { EndSheet, LoadSheet } from './LoadSheet.js';
import { ReadingSheet, readingWords } from './ReadingSheet.js';
import { waitingOf } from './waiting-grain.js';

const DAY_MS = 86_400_000;
/** Grain and cycles older than this are history and not work. */
const RECENT_MS = 4 * DAY_MS;

const STEP_WORDS = {
  soaked: { act: 'command.soak', done: 'bench.step.soaked' },
  simmered: { act: 'command.simmer', done: 'bench.step.simmered' },
  drained: { act: 'command.drain', done: 'bench.step.drained' },
  rested: { act: 'command.rest', done: 'bench.step.rested' },
  filled: { act: 'command.fill', done: 'bench.step.filled' },
} as const satisfies Record<GrainStepName, { act: MessageKey; done: MessageKey }>;

const KIND_OF = {
  soaked: 'grain_soaked',
  simmered: 'grain_simmered',
  drained: 'grain_drained',
  rested: 'grain_rested',
  filled: 'grain_filled',
} as const;

/** Grain on its way and the steriliser, each with the next step as one tap and the time since the last one. */
export default function PrepareScreen() {
  const { core, farm, act } = useBench();
  const now = useNowMs(useCallback(() => core.nowMs(), [core]));
  const [filling, setFilling] = useState<LoggedGrainBatch | null>(null);
  const [loading, setLoading] = useState(false);
  const [ending, setEnding] = useState<SteriliserCycle | null>(null);
  const [reading, setReading] = useState<SteriliserCycle | null>(null);
  const batches = [...core.view.all('grainBatch')]
    .filter(
      (batch) => lastStepMs(batch) > now - RECENT_MS && waitingOf(batch).length + Number(!batch.stepAtMs.filled) > 0,
    )
    .sort((a, b) => lastStepMs(b) - lastStepMs(a));
  const cycles = [...core.view.all('cycle')]
    .filter((cycle) => cycle.startedAtMs > now - RECENT_MS)
    .sort((a, b) => b.startedAtMs - a.startedAtMs);
  const begin = (step: GrainStepName) => {
    const payload = { grainBatchId: core.newId(), grain: farm.settings.grain };
    void act({ kind: KIND_OF[step], payload } as BenchAction);
  };
  return (
    <BenchScreen title={t('command.prepare')}>
      <section className="chain" aria-labelledby="chain-grain">
        <h2 id="chain-grain">{t('bench.prepare.grain')}</h2>
        <div className="choices__grid">
          <BigButton look="main" onClick={() => begin('soaked')}>
            {t('bench.prepare.newSoak')}
          </BigButton>
          <BigButton onClick={() => begin('simmered')}>{t('bench.prepare.newSimmer')}</BigButton>
        </div>
        {batches.map((batch) => (
          <GrainCard key={batch.id} batch={batch} nowMs={now} onFill={() => setFilling(batch)} />
        ))}
        {batches.length === 0 && <p>{t('bench.prepare.noGrain')}</p>}
      </section>
      <section className="chain" aria-labelledby="chain-cycle">
        <h2 id="chain-cycle">{t('bench.prepare.steriliser')}</h2>
        <BigButton look="main" onClick={() => setLoading(true)}>
          {t('command.startCycle')}
        </BigButton>
        {cycles.map((cycle) => (
          <CycleCard
            key={cycle.id}
            cycle={cycle}
            nowMs={now}
            onEnd={() => setEnding(cycle)}
            onRead={() => setReading(cycle)}
          />
        ))}
        {cycles.length === 0 && <p>{t('bench.prepare.noCycle')}</p>}
      </section>
      {filling && <FillSheet batch={filling} onClose={() => setFilling(null)} />}
      {loading && <LoadSheet batches={batches} onClose={() => setLoading(false)} />}
      {reading && <ReadingSheet cycle={reading} onClose={() => setReading(null)} />}
      {ending && <EndSheet cycle={ending} onClose={() => setEnding(null)} />}
    </BenchScreen>
  );
}

function GrainCard({
  batch,
  nowMs,
  onFill,
}: {
  readonly batch: LoggedGrainBatch;
  readonly nowMs: number;
  readonly onFill: () => void;
}) {
  const { act } = useBench();
  const done = GRAIN_STEPS.filter((step) => batch.stepAtMs[step] !== undefined);
  const last = done.at(-1);
  const open = GRAIN_STEPS.slice(last ? GRAIN_STEPS.indexOf(last) + 1 : 0).filter((step) => step !== 'filled');
  const waiting = waitingOf(batch).reduce((sum, { count }) => sum + count, 0);
  const step = (name: GrainStepName) =>
    void act({ kind: KIND_OF[name], payload: { grainBatchId: batch.id } } as BenchAction);
  return (
    <article className="chain__card">
      <h3>{batch.code}</h3>
      <ol className="chain__steps plain">
        {GRAIN_STEPS.map((name) => (
          <li key={name} className={batch.stepAtMs[name] === undefined ? '' : 'chain__step--done'}>
            {batch.stepAtMs[name] !== undefined && <DoneSign />}
            {t(STEP_WORDS[name].done)}
          </li>
        ))}
      </ol>
      {last && (
        <p className="chain__timer" role="timer">
          {t('bench.prepare.since', {
            step: t(STEP_WORDS[last].done),
            time: formatDuration(minutesSince(batch.stepAtMs[last] ?? nowMs, nowMs)),
          })}
        </p>
      )}
      {waiting > 0 && <p>{t('bench.prepare.waiting', { count: waiting })}</p>}
      <div className="choices__grid">
        {open.map((name, at) => (
          <BigButton key={name} look={at === 0 ? 'main' : 'plain'} onClick={() => step(name)}>
            {t(STEP_WORDS[name].act)}
          </BigButton>
        ))}
        <BigButton look={open.length === 0 ? 'main' : 'plain'} onClick={onFill}>
          {t('command.fill')}
        </BigButton>
      </div>
    </article>
  );
}

function CycleCard({
  cycle,
  nowMs,
  onEnd,
  onRead,
}: {
  readonly cycle: SteriliserCycle;
  readonly nowMs: number;
  readonly onEnd: () => void;
  readonly onRead: () => void;
}) {
  const { act } = useBench();
  const { id: cycleId } = cycle;
  const stage = stageOf(cycle);
  return (
    <article className="chain__card">
      <h3>{cycle.code}</h3>
      <p className="chain__timer" role="timer">
        {t('bench.prepare.since', {
          step: t(stage.words),
          time: formatDuration(minutesSince(stage.sinceMs, nowMs)),
        })}
      </p>
      {readingWords(cycle) && <p>{readingWords(cycle)}</p>}
      <div className="choices__grid">
        {stage.next === 'hold' && (
          <BigButton look="main" onClick={() => void act({ kind: 'cycle_held', payload: { cycleId } })}>
            {t('command.holdCycle')}
          </BigButton>
        )}
        {(stage.next === 'hold' || stage.next === 'end') && (
          <BigButton look={stage.next === 'end' ? 'main' : 'plain'} onClick={onEnd}>
            {t('command.endCycle')}
          </BigButton>
        )}
        {stage.next === 'end' && <BigButton onClick={onRead}>{t('command.logReading')}</BigButton>}
        {stage.next === 'cool' && (
          <BigButton look="main" onClick={() => void act({ kind: 'cycle_cooled', payload: { cycleId } })}>
            {t('command.coolEnough')}
          </BigButton>
        )}
      </div>
      {stage.hazards.length > 0 && <Caution hazards={stage.hazards} />}
    </article>
  );
}

type Next = 'hold' | 'end' | 'cool' | 'inoculate';

/** Where a cycle stands, since when, what comes next, and what can hurt meanwhile. */
function stageOf(cycle: SteriliserCycle): {
  readonly words: MessageKey;
  readonly sinceMs: number;
  readonly next: Next;
  readonly hazards: readonly Hazard[];
} {
  const vessel: readonly Hazard[] = cycle.method === 'pressure' ? ['pressure'] : [];
  if (cycle.cooledAtMs !== null)
    return { words: 'bench.cycle.cooled', sinceMs: cycle.cooledAtMs, next: 'inoculate', hazards: [] };
  if (cycle.endedAtMs !== null)
    return { words: 'bench.cycle.ended', sinceMs: cycle.endedAtMs, next: 'cool', hazards: [...vessel, 'hotGlass'] };
  if (cycle.heldAtMs !== null)
    return { words: 'bench.cycle.held', sinceMs: cycle.heldAtMs, next: 'end', hazards: vessel };
  return { words: 'bench.cycle.started', sinceMs: cycle.startedAtMs, next: 'hold', hazards: vessel };
}

function DoneSign() {
  return (
    <svg className="big__tick" viewBox="0 0 20 20" aria-hidden="true" focusable="false">
      <path d="M3 10.500l5 5L17 5" />
    </svg>
  );
}

function lastStepMs({ stepAtMs }: LoggedGrainBatch): number {
  return Math.max(0, ...Object.values(stepAtMs));
}
