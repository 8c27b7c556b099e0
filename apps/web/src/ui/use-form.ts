import { useState } from 'react';
import type { CheckedBody } from './checked-body.js';
import { errorAt } from './checked-body.js';

const NO_ERRORS: ReadonlyMap<string, string> = new Map();

/**
 * The boxes of a form as text, with what is wrong at each of them: found by the form's own check before anything is
 * sent, or said by the server afterwards (`refused`).
 */
export function useForm<Values extends object>(initial: () => Values, refused: unknown) {
  const [before] = useState(initial);
  const [values, setValues] = useState(before);
  const [errors, setErrors] = useState(NO_ERRORS);
  const set = (change: Partial<Values>) => setValues((now) => ({ ...now, ...change }));
  const error = (pointer: string) => errorAt(pointer, errors, refused);
  return {
    before,
    values,
    set,
    error,
    /** Props of a text box for one value, told apart by its pointer in the body. */
    box: (name: keyof Values & string, pointer = `/${name}`) => ({
      value: String(values[name]),
      error: error(pointer),
      onChange: (event: { target: { value: string } }) => set({ [name]: event.target.value } as Partial<Values>),
    }),
    /** Passes a body on when it fits its contract; shows where it does not otherwise. */
    check: <T>(checked: CheckedBody<T>, pass: (body: T) => void) => {
      setErrors(checked.ok ? NO_ERRORS : checked.errors);
      if (checked.ok) pass(checked.body);
    },
  };
}
