import './button.css';
import type { ButtonHTMLAttributes, ReactNode } from 'react';
import { Link } from 'wouter';

type Look = 'main' | 'plain' | 'quiet' | 'danger';

export interface ButtonProps extends ButtonHTMLAttributes<HTMLButtonElement> {
  readonly look?: Look;
  readonly busy?: boolean;
  readonly children: ReactNode;
}

export function Button({ look = 'plain', busy = false, className = '', children, ...rest }: ButtonProps) {
  return (
    <button
      type="button"
      {...rest}
      className={`button button--${look} ${className}`}
      aria-busy={busy || undefined}
      aria-disabled={busy || undefined}
      onClick={busy ? (event) => event.preventDefault() : rest.onClick}
    >
      {children}
    </button>
  );
}

export function LinkButton({
  href,
  look = 'plain',
  children,
}: {
  readonly href: string;
  readonly look?: Look;
  readonly children: ReactNode;
}) {
  return (
    <Link href={href} className={`button button--${look}`}>
      {children}
    </Link>
  );
}
