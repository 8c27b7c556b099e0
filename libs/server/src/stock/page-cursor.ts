import { isCalendarDay } from '@jarfold/domain';
import { AppError } from '../platform/index.js';
import type { JarCursor } from './stock.repository.js';

/** A jar's code as far as a cursor needs it: one line that the database can compare. */
const CODE = /^[^\p{Cc}\p{Cs}]{1,60}$/u;

/** Where a page ended, as an opaque text. It carries no farm: in another farm it only means a place in its own list. */
export function writeCursor({ madeOn, code }: JarCursor): string {
  return Buffer.from(JSON.stringify([madeOn, code]), 'utf8').toString('base64url');
}

/** @throws AppError `invalid-input` when the text is no cursor of ours */
export function readCursor(text: string): JarCursor {
  const parts = parsed(text);
  if (Array.isArray(parts) && parts.length === 2) {
    const [madeOn, code] = parts as unknown[];
    if (typeof madeOn === 'string' && isCalendarDay(madeOn) && typeof code === 'string' && CODE.test(code))
      return { madeOn, code };
  }
  const errors = [{ in: 'query', pointer: '/cursor', detail: 'Not a cursor this list gave out.' }];
  throw new AppError('invalid-input', 'The cursor is none this list gave out: ask for the first page again.', {
    errors,
  });
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(Buffer.from(text, 'base64url').toString('utf8'));
  } catch {
    return null;
  }
}
