import { IntlMessageFormat } from 'intl-messageformat';
import { en } from './en.js';

export type MessageKey = keyof typeof en;
export type MessageValues = Readonly<Record<string, string | number>>;

/** The language and region of what is shown. One catalogue so far; a second is a second file and a choice here. */
export const locale = 'en-GB';

const compiled = new Map<MessageKey, IntlMessageFormat>();

/**
 * The message of a key, with its values filled in (ICU message syntax: plurals, choices).
 * @example t('text.jars', { count: 12 }) // "12 jars"
 */
export function t(key: MessageKey, values?: MessageValues): string {
  let format = compiled.get(key);
  if (!format) {
    format = new IntlMessageFormat(en[key], locale, undefined, { ignoreTag: true });
    compiled.set(key, format);
  }
  return String(format.format(values));
}
