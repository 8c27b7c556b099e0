import type { ButtonHTMLAttributes, ReactNode } from 'react';
import { pressed } from './pressed.js';

export interface BigButtonProps extends Omit<ButtonHTMLAttributes<HTMLButtonElement>, 'onClick'> {
  /** Left out where the button sends a form. */
  readonly onClick?: () => void;
  readonly look?: 'plain' | 'main' | 'quiet' | 'alarm';
  readonly picture?: ReactNode;
  /** Chosen among others; left out for a button that acts. */
  readonly chosen?: boolean;
  readonly hint?: string | undefined;
  readonly children: ReactNode;
}

/** A target for a gloved finger: at least 20 mm either way on the declared tablet. */
export function BigButton({
  look = 'plain',
  picture,
  chosen,
  hint,
  className = '',
  onClick,
  children,
  ...rest
}: BigButtonProps) {
  return (
    <button
      type="button"
      {...rest}
      {...(onClick ? pressed(onClick) : {})}
      className={`big big--${look} ${chosen ? 'big--chosen' : ''} ${className}`}
      aria-pressed={chosen}
    >
      {picture}
      <span className="big__words">
        {/* The sign says chosen without colour. */}
        {chosen && (
          <svg className="big__tick" viewBox="0 0 20 20" aria-hidden="true" focusable="false">
            <path d="M3 10.500l5 5L17 5" />
          </svg>
        )}
        {children}
        {hint && <span className="big__hint">{hint}</span>}
      </span>
    </button>
  );
}

export interface Choice<T> {
  readonly value: T;
  readonly label: string;
  readonly hint?: string | undefined;
  readonly picture?: ReactNode;
}

/** One of a few, each a big button; with one there is nothing to ask. */
export function Choices<T>({
  label,
  choices,
  value,
  onChoose,
}: {
  readonly label: string;
  readonly choices: readonly Choice<T>[];
  readonly value: T | null;
  readonly onChoose: (value: T) => void;
}) {
  return (
    <fieldset className="choices">
      <legend>{label}</legend>
      <div className="choices__grid">
        {choices.map((choice) => (
          <BigButton
            key={String(choice.value)}
            chosen={choice.value === value}
            picture={choice.picture}
            hint={choice.hint}
            onClick={() => onChoose(choice.value)}
          >
            {choice.label}
          </BigButton>
        ))}
      </div>
    </fieldset>
  );
}
