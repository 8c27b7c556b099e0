import { t } from '../messages/translate.js';

/** What a contract found at one box, as far as the words for it depend on it. */
export interface RawMistake {
  readonly code?: string | undefined;
  readonly expected?: unknown;
  readonly origin?: unknown;
  readonly minimum?: unknown;
  readonly maximum?: unknown;
  readonly input?: unknown;
}

/**
 * A mistake in words for whoever filled the box in; undefined where the contract has none for it. A contract's own
 * sentence goes before these. Bounds of numbers are not repeated: a box may hold per cent where the contract holds a share.
 */
export function mistakeWords({ code, expected, origin, minimum, maximum, input }: RawMistake): string | undefined {
  switch (code) {
    case 'invalid_type':
      if (expected === 'int') return t('mistake.wholeNumber');
      if (expected === 'number') return t('mistake.number');
      return input === undefined || input === null ? t('mistake.needed') : undefined;
    case 'invalid_value':
      return t('mistake.choose');
    case 'too_small':
      if (origin === 'string' && minimum === 1) return t('mistake.needed');
      return isNumber(origin) ? t('mistake.tooLow') : undefined;
    case 'too_big':
      if (origin === 'string') return t('mistake.tooLong', { most: Number(maximum) });
      return isNumber(origin) ? t('mistake.tooHigh') : undefined;
    default:
      return undefined;
  }
}

const isNumber = (origin: unknown): boolean => origin === 'number' || origin === 'int';
