import { IntlMessageFormat } from 'intl-messageformat';
import type { en } from './en.js';

export type MessageKey = keyof typeof en;
export type MessageValues = Readonly<Record<string, string | number>>;

/** The language and region of what is shown. One catalogue so far; a second is a second file and a choice here. */
export const locale = 'en-GB';

const words = new Map<string, string>();
const compiled = new Map<MessageKey, IntlMessageFormat>();

/**
 * Gives a program its words, before anything of it is drawn. Bench and desk are two programs, and a tablet does not
 * carry the desk's words.
 */
export function speak(catalogue: Readonly<Record<string, string>>): void {
  for (const [key, message] of Object.entries(catalogue)) words.set(key, message);
}

/**
 * The message of a key, with its values filled in (ICU message syntax: plurals, choices).
 * @example t('text.jars', { count: 12 }) // "12 jars"
 * @throws Error when this program was not given the key; a test holds what each program shows against its words
 */
export function t(key: MessageKey, values?: MessageValues): string {
  let format = compiled.get(key);
  if (!format) {
    const message = words.get(key);
    if (message === undefined) throw new Error(`This program has no words for ${key}.`);
    format = new IntlMessageFormat(message, locale, undefined, { ignoreTag: true });
    compiled.set(key, format);
  }
  return String(format.format(values));
}
