import type { BulkRunJson, OrderJson, Run } from '@jarfold/contracts';
import { type MessageKey, t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { CrateDrawing, SackDrawing } from '../../ui/drawing/Objects.js';
import { formatDay, formatMass, formatNumber, formatShare } from '../../ui/format/index.js';
import { limitWords, planDetail } from '../week/limit-words.js';
import { CoverageBar } from './CoverageBar.js';

export const COVERAGE_WORDS = {
  full: 'coverage.full',
  covered: 'coverage.covered',
  short: 'coverage.short',
} as const satisfies Record<NonNullable<Run['coverage']>['kind'], MessageKey>;

const RUN_STATE_WORDS = {
  planned: 'runState.planned',
  done: 'runState.done',
  cancelled: 'runState.cancelled',
} as const satisfies Record<Run['state'], MessageKey>;

/** What whoever may change runs can do with one. */
export interface RunCommands {
  readonly onEdit: () => void;
  readonly onCancel: () => void;
  readonly onDone: () => void;
  readonly onReopen: () => void;
}

export function RunCard({
  run,
  commands,
}: {
  readonly run: Run;
  /** Null for those who look only. */
  readonly commands: RunCommands | null;
}) {
  const { coverage } = run;
  return (
    <li className="run">
      {run.kind === 'order' ? <CrateDrawing covered={coveredJars(run)} /> : <SackDrawing covered={coveredShare(run)} />}
      <div className="run__what">
        <p className="soft small">{t(KIND_WORDS[run.kind])}</p>
        <h3>{run.name}</h3>
        <p>{formatDay(run.day)}</p>
        <p className="soft">{run.kind === 'order' ? orderWords(run) : bulkWords(run)}</p>
        {run.kind === 'order' && run.forWhom && <p className="soft">{t('orders.forWhom', { whom: run.forWhom })}</p>}
        {run.note && <p className="soft">{run.note}</p>}
      </div>
      <div className="run__coverage">
        {coverage ? <Coverage run={run} coverage={coverage} /> : <NoCoverage run={run} />}
      </div>
      {commands && <Commands run={run} commands={commands} />}
    </li>
  );
}

const KIND_WORDS = { bulk: 'runKind.bulk', order: 'runKind.order' } as const satisfies Record<Run['kind'], MessageKey>;

const codesOf = ({ strains }: Run) => strains.map((strain) => strain.code).join(', ');

function bulkWords(run: BulkRunJson): string {
  const { substrateWetKg, spawnRate, basis } = run;
  const amounts = { mass: formatNumber(substrateWetKg), rate: formatShare(spawnRate), basis };
  return t('runs.what', { ...amounts, strains: codesOf(run) });
}

function orderWords(order: OrderJson): string {
  return t('orders.wanted', { count: order.jars, size: order.size.name, strains: codesOf(order) });
}

const coveredShare = ({ coverage }: Run) =>
  coverage && coverage.targetGrams > 0 ? coverage.coveredGrams / coverage.targetGrams : 0;

/** Jars that are given or sure to be, as a share of those ordered. */
function coveredJars({ jars, handedOver, coverage }: OrderJson): number {
  return (handedOver + (coverage?.jars?.covered ?? 0)) / jars;
}

const CANCEL_WORDS = {
  bulk: { words: 'command.cancelRun', named: 'runs.cancelNamed' },
  order: { words: 'command.cancelOrder', named: 'orders.cancelNamed' },
} as const satisfies Record<Run['kind'], { words: MessageKey; named: MessageKey }>;

function Commands({ run, commands }: { readonly run: Run; readonly commands: RunCommands }) {
  if (run.state === 'cancelled') return null;
  if (run.state === 'done') {
    return (
      <div className="run__commands">
        <Button onClick={commands.onReopen} aria-label={t('runs.reopenNamed', { run: run.name })}>
          {t('command.backToPlanned')}
        </Button>
      </div>
    );
  }
  const cancel = CANCEL_WORDS[run.kind];
  return (
    <div className="run__commands">
      <Button onClick={commands.onEdit} aria-label={t('runs.editNamed', { run: run.name })}>
        {t('command.edit')}
      </Button>
      <Button onClick={commands.onDone} aria-label={t('runs.doneNamed', { run: run.name })}>
        {t('command.markDone')}
      </Button>
      <Button look="danger" onClick={commands.onCancel} aria-label={t(cancel.named, { run: run.name })}>
        {t(cancel.words)}
      </Button>
    </div>
  );
}

function NoCoverage({ run }: { readonly run: Run }) {
  return (
    <>
      <p>
        <strong>{t(RUN_STATE_WORDS[run.state])}</strong>
      </p>
      {run.cancelled?.reason && <p className="soft">{run.cancelled.reason}</p>}
      {run.state === 'planned' && <p className="soft">{t('runs.notYetPlanned')}</p>}
    </>
  );
}

function Coverage({ run, coverage }: { readonly run: Run; readonly coverage: NonNullable<Run['coverage']> }) {
  return (
    <>
      {run.kind === 'order' && coverage.jars ? (
        <OrderCoverage order={run} coverage={coverage} jars={coverage.jars} />
      ) : (
        <BulkCoverage run={run} coverage={coverage} />
      )}
      {coverage.limit && coverage.kind !== 'full' && (
        <p>
          {limitWords(coverage.limit, coverage.limitWhere).why}{' '}
          <span className="soft">{planDetail(coverage.limit, coverage.limitMessage)}</span>
        </p>
      )}
    </>
  );
}

function BulkCoverage({ run, coverage }: { readonly run: Run; readonly coverage: NonNullable<Run['coverage']> }) {
  return (
    <>
      <p>
        <strong>{t(COVERAGE_WORDS[coverage.kind])}</strong>{' '}
        {t('runs.amounts', { covered: formatMass(coverage.coveredGrams), target: formatMass(coverage.targetGrams) })}
      </p>
      <Likely coverage={coverage} />
      <CoverageBar coveredGrams={coverage.coveredGrams} targetGrams={run.targetGrams} minGrams={run.minGrams} />
      {coverage.kind === 'short' && (
        <p>{t('runs.minimum', { mass: formatMass(run.minGrams), short: formatMass(coverage.shortGrams) })}</p>
      )}
    </>
  );
}

/** An order is told in jars: those given, those sure to be, and what of the plan's spawn fills no jar of it. */
function OrderCoverage({
  order,
  coverage,
  jars,
}: {
  readonly order: OrderJson;
  readonly coverage: NonNullable<Run['coverage']>;
  readonly jars: NonNullable<NonNullable<Run['coverage']>['jars']>;
}) {
  const { left, covered, least, otherGrams } = jars;
  return (
    <>
      <p>
        <strong>{t(COVERAGE_WORDS[coverage.kind])}</strong> {t('orders.covered', { covered, left })}
      </p>
      <Likely coverage={coverage} />
      <CoverageBar coveredGrams={covered} targetGrams={left} minGrams={least} />
      {order.handedOver > 0 && <p>{t('orders.handedOver', { given: order.handedOver, count: order.jars })}</p>}
      {coverage.kind === 'short' && <p>{t('orders.minimum', { least, short: least - covered })}</p>}
      {otherGrams > 1 && coverage.kind !== 'full' && (
        <p>{t('orders.otherGrams', { mass: formatMass(otherGrams), size: order.size.name })}</p>
      )}
    </>
  );
}

function Likely({ coverage }: { readonly coverage: NonNullable<Run['coverage']> }) {
  if (coverage.probability === null) return null;
  return <p>{t('plan.likely', { likely: formatShare(coverage.probability) })}</p>;
}
