import { fromPublished, type PreparationStep, preparationSteps } from '@jarfold/domain';
import { type MessageKey, t } from '../../messages/translate.js';
import { CheckField } from '../../ui/Field.js';
import { formatDuration } from '../../ui/format/index.js';
import { Panel } from '../../ui/Panel.js';
import { sourceWords } from '../../ui/source-words.js';

const STEP_WORDS = {
  soak: 'preparation.step.soak',
  simmer: 'preparation.step.simmer',
  stand: 'preparation.step.stand',
  drain: 'preparation.step.drain',
  rest: 'preparation.step.rest',
} as const satisfies Record<PreparationStep['key'], MessageKey>;

/** From dry grain to filled jar. Times are guidance; the kernels and the drying test decide. */
export function Steps({
  soaked,
  onChange,
}: {
  readonly soaked: boolean;
  readonly onChange: (soaked: boolean) => void;
}) {
  return (
    <Panel title={t('preparation.steps')}>
      <CheckField label={t('field.soaked')} checked={soaked} onChange={(event) => onChange(event.target.checked)} />
      <ol className="prep__steps">
        {preparationSteps(soaked).map(({ key, minutes, advice }) => (
          <li key={key}>
            <h3>
              {t(STEP_WORDS[key])} <span className="prep__time">{formatDuration(minutes.value)}</span>{' '}
              {minutes.low !== null && minutes.high !== null && (
                <span className="soft">
                  {t('preparation.between', { low: formatDuration(minutes.low), high: formatDuration(minutes.high) })}
                </span>
              )}
            </h3>
            <p>{advice}</p>
            <p className="soft small">{t('preparation.published', { source: sourceWords(fromPublished(minutes)) })}</p>
          </li>
        ))}
      </ol>
    </Panel>
  );
}
