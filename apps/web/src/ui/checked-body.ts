import { fieldErrors } from '../api/failure.js';
import { mistakeWords, type RawMistake } from './mistake-words.js';

interface Issue {
  readonly path: readonly PropertyKey[];
  readonly message: string;
}

export interface BodySchema<T> {
  safeParse(
    input: unknown,
    words: { readonly error: (mistake: RawMistake) => string | undefined },
  ): { success: true; data: T } | { success: false; error: { issues: readonly Issue[] } };
}

export type CheckedBody<T> =
  | { readonly ok: true; readonly body: T }
  | { readonly ok: false; readonly errors: ReadonlyMap<string, string> };

/** Checks a form by the same contract the server will use, so that a mistake is told at its box before it travels. */
export function checkedBody<T>(schema: BodySchema<T>, input: unknown): CheckedBody<T> {
  const parsed = schema.safeParse(input, { error: mistakeWords });
  if (parsed.success) return { ok: true, body: parsed.data };
  const errors = new Map<string, string>();
  for (const { path, message } of parsed.error.issues) {
    const pointer = path.map((step) => `/${String(step)}`).join('');
    if (!errors.has(pointer)) errors.set(pointer, message);
  }
  return { ok: false, errors };
}

/** The first message at a box or anything inside it, from the form's own check or from the server. */
export function errorAt(pointer: string, own: ReadonlyMap<string, string>, refused: unknown): string | undefined {
  for (const errors of [own, fieldErrors(refused)]) {
    for (const [at, message] of errors) if (at === pointer || at.startsWith(`${pointer}/`)) return message;
  }
  return undefined;
}
