import { useState } from 'react';
import { t } from '../../messages/translate.js';
import { BigButton } from './BigButton.js';
import { Keypad } from './Keypad.js';

/** A number by big steps, or by a pad of keys when it is far away. */
export function Stepper({
  label,
  unit,
  value,
  onChange,
  step = 1,
  leap,
  min = 0,
  max,
  start = 0,
}: {
  readonly label: string;
  readonly unit: string;
  readonly value: number | null;
  readonly onChange: (value: number) => void;
  readonly step?: number;
  readonly leap?: number;
  readonly min?: number;
  readonly max: number;
  /** Where the steps begin while nothing is said. */
  readonly start?: number;
}) {
  const [typing, setTyping] = useState(false);
  const change = (by: number) => onChange(Math.min(max, Math.max(min, Math.round(((value ?? start) + by) * 10) / 10)));
  return (
    <fieldset className="choices">
      <legend>{label}</legend>
      <div className="stepper__row">
        {leap !== undefined && (
          <BigButton onClick={() => change(-leap)}>{t('bench.step.less', { by: leap })}</BigButton>
        )}
        <BigButton onClick={() => change(-step)}>{t('bench.step.less', { by: step })}</BigButton>
        <BigButton className="stepper__value" onClick={() => setTyping(true)} hint={t('bench.step.type')}>
          {value === null ? t('bench.step.none') : t('bench.step.value', { value, unit })}
        </BigButton>
        <BigButton onClick={() => change(step)}>{t('bench.step.more', { by: step })}</BigButton>
        {leap !== undefined && <BigButton onClick={() => change(leap)}>{t('bench.step.more', { by: leap })}</BigButton>}
      </div>
      {typing && (
        <Keypad
          title={label}
          unit={unit}
          max={max}
          onClose={() => setTyping(false)}
          onDone={(typed) => {
            onChange(Math.max(min, typed));
            setTyping(false);
          }}
        />
      )}
    </fieldset>
  );
}
