import { DomainError, moistureFromDrying, ovenTest } from '@jarfold/domain';
import { useState } from 'react';
import { t } from '../../messages/translate.js';
import { TextField } from '../../ui/Field.js';
import { formatCount, formatShare, formatTemperature } from '../../ui/format/index.js';
import { Notice } from '../../ui/Notice.js';
import { Panel } from '../../ui/Panel.js';
import { readNumber } from '../../ui/read-number.js';

/** Water in a sample, from its mass before and after the oven, with the bounds the scale allows. */
export function DryingTest({ target }: { readonly target: number | null }) {
  const [wet, setWet] = useState('');
  const [dry, setDry] = useState('');
  const [step, setStep] = useState('1');
  const found = moistureOf(wet, dry, step);
  return (
    <Panel title={t('preparation.drying')}>
      <p>
        {t('preparation.dryingHow', {
          mass: formatCount(ovenTest.sampleG),
          hours: ovenTest.hours,
          temperature: formatTemperature(ovenTest.temperatureC),
        })}
      </p>
      <div className="field-grid">
        <TextField
          label={t('field.wetSample')}
          unit={t('unit.g')}
          inputMode="decimal"
          value={wet}
          onChange={(event) => setWet(event.target.value)}
        />
        <TextField
          label={t('field.driedSample')}
          unit={t('unit.g')}
          inputMode="decimal"
          value={dry}
          onChange={(event) => setDry(event.target.value)}
        />
        <TextField
          label={t('field.scaleStep')}
          unit={t('unit.g')}
          inputMode="decimal"
          value={step}
          onChange={(event) => setStep(event.target.value)}
        />
      </div>
      {found !== null && (
        <Notice tone={typeof found === 'string' ? 'care' : 'plain'} live>
          <p>{typeof found === 'string' ? found : moistureWords(found, target)}</p>
        </Notice>
      )}
    </Panel>
  );
}

type Found = ReturnType<typeof moistureFromDrying>;

/** Null until both masses are there; a sentence when they cannot be. */
function moistureOf(wet: string, dry: string, step: string): Found | string | null {
  const [wetG, dryG, scaleStepG] = [readNumber(wet), readNumber(dry), readNumber(step)];
  if (wetG === null || dryG === null || scaleStepG === null) return null;
  if (![wetG, dryG, scaleStepG].every(Number.isFinite)) return t('preparation.noMass');
  try {
    return moistureFromDrying({ wetG, dryG, scaleStepG });
  } catch (error) {
    if (error instanceof DomainError) return error.message;
    throw error;
  }
}

function moistureWords({ moisture, low, high }: Found, target: number | null): string {
  const words = { moisture: formatShare(moisture), low: formatShare(low), high: formatShare(high) };
  if (target === null) return t('preparation.moisture', words);
  const side = target < low ? 'wetter' : target > high ? 'drier' : 'right';
  return t('preparation.moistureAgainst', { ...words, target: formatShare(target), side });
}
