import { PIN_DIGITS } from '@jarfold/contracts';
import { useState } from 'react';
import { t } from '../../messages/translate.js';
import { BigButton } from './BigButton.js';

const KEYS = ['1', '2', '3', '4', '5', '6', '7', '8', '9', '0'] as const;

/** Six digits, tapped or typed. What was typed is shown as how many, never as which. */
export function PinPad({
  name,
  busy,
  onPin,
}: {
  readonly name: string;
  readonly busy: boolean;
  readonly onPin: (pin: string) => void;
}) {
  const [pin, setPin] = useState('');
  const press = (digit: string) => {
    if (busy) return;
    const next = pin + digit;
    setPin(next.length === PIN_DIGITS ? '' : next);
    if (next.length === PIN_DIGITS) onPin(next);
  };
  return (
    <section
      className="pin"
      aria-label={t('bench.pin.of', { name })}
      onKeyDown={(event) => {
        if (/^\d$/.test(event.key)) press(event.key);
        if (event.key === 'Backspace') setPin(pin.slice(0, -1));
      }}
    >
      <p className="pin__dots" role="status">
        {busy ? t('bench.pin.checking') : t('bench.pin.typed', { typed: pin.length, of: PIN_DIGITS })}
      </p>
      <div className="keypad__keys">
        {KEYS.map((key) => (
          <BigButton key={key} onClick={() => press(key)}>
            {key}
          </BigButton>
        ))}
        <BigButton onClick={() => setPin('')}>{t('command.clear')}</BigButton>
      </div>
    </section>
  );
}
