import type { Run } from '@jarfold/contracts';
import { type MessageKey, t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { SackDrawing } from '../../ui/drawing/Objects.js';
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

export function RunCard({
  run,
  change,
}: {
  readonly run: Run;
  /** What whoever may change runs can do; null for those who look only. */
  readonly change: { readonly onEdit: () => void; readonly onCancel: () => void } | null;
}) {
  const { coverage } = run;
  const share = coverage && coverage.targetGrams > 0 ? coverage.coveredGrams / coverage.targetGrams : 0;
  return (
    <li className="run">
      <SackDrawing covered={share} />
      <div className="run__what">
        <h3>{run.name}</h3>
        <p>{formatDay(run.day)}</p>
        <p className="soft">
          {t('runs.what', {
            mass: formatNumber(run.substrateWetKg),
            strains: run.strains.map((strain) => strain.code).join(', '),
            rate: formatShare(run.spawnRate),
            basis: run.basis,
          })}
        </p>
        {run.note && <p className="soft">{run.note}</p>}
      </div>
      <div className="run__coverage">
        {coverage ? <Coverage run={run} coverage={coverage} /> : <NoCoverage run={run} />}
      </div>
      {change && run.state === 'planned' && (
        <div className="run__commands">
          <Button onClick={change.onEdit} aria-label={t('runs.editNamed', { run: run.name })}>
            {t('command.edit')}
          </Button>
          <Button look="danger" onClick={change.onCancel} aria-label={t('runs.cancelNamed', { run: run.name })}>
            {t('command.cancelRun')}
          </Button>
        </div>
      )}
    </li>
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
      <p>
        <strong>{t(COVERAGE_WORDS[coverage.kind])}</strong>{' '}
        {t('runs.amounts', { covered: formatMass(coverage.coveredGrams), target: formatMass(coverage.targetGrams) })}
      </p>
      {coverage.probability !== null && <p>{t('plan.likely', { likely: formatShare(coverage.probability) })}</p>}
      <CoverageBar coveredGrams={coverage.coveredGrams} targetGrams={run.targetGrams} minGrams={run.minGrams} />
      {coverage.kind === 'short' && (
        <p>{t('runs.minimum', { mass: formatMass(run.minGrams), short: formatMass(coverage.shortGrams) })}</p>
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
