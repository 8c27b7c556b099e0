import { useState } from 'react';
import { t } from '../../messages/translate.js';
import { BenchSheet } from './BenchSheet.js';
import { BigButton } from './BigButton.js';

const KEYS = ['1', '2', '3', '4', '5', '6', '7', '8', '9', '.', '0'] as const;
const MOST_KEYS = 7;

/** Keys for a number, big enough for gloves; a real keyboard works too. */
export function Keypad({
  title,
  unit,
  max,
  onDone,
  onClose,
}: {
  readonly title: string;
  readonly unit: string;
  readonly max: number;
  readonly onDone: (value: number) => void;
  readonly onClose: () => void;
}) {
  const [text, setText] = useState('');
  const value = Number(text);
  const usable = text !== '' && Number.isFinite(value) && value <= max;
  const press = (key: string) => setText((now) => (now.length < MOST_KEYS ? now + key : now));
  const done = () => usable && onDone(value);
  return (
    <BenchSheet title={title} onClose={onClose}>
      <section
        aria-label={title}
        className="keypad"
        onKeyDown={(event) => {
          if (/^[0-9.]$/.test(event.key)) press(event.key);
          if (event.key === 'Backspace') setText((now) => now.slice(0, -1));
          if (event.key === 'Enter' && event.target === event.currentTarget) done();
        }}
      >
        <p className="keypad__shown" role="status">
          {text === '' ? t('bench.step.none') : t('bench.step.value', { value: text, unit })}
        </p>
        {text !== '' && !usable && <p className="wrong">{t('bench.keypad.tooMuch', { max, unit })}</p>}
        <div className="keypad__keys">
          {KEYS.map((key) => (
            <BigButton key={key} onClick={() => press(key)}>
              {key}
            </BigButton>
          ))}
          <BigButton onClick={() => setText((now) => now.slice(0, -1))} aria-label={t('bench.keypad.back')}>
            <svg viewBox="0 0 30 20" className="keypad__back" aria-hidden="true" focusable="false">
              <path d="M9 2h19v16H9L2 10zM14 7l7 6M21 7l-7 6" />
            </svg>
          </BigButton>
        </div>
        <BigButton look="main" aria-disabled={!usable} onClick={done}>
          {t('command.take')}
        </BigButton>
      </section>
    </BenchSheet>
  );
}
