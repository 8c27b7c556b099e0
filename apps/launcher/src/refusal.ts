/** A reason not to start that a person can act on: printed as one sentence, exit code 1, no stack. */
export class Refusal extends Error {
  override readonly name = 'Refusal';
}
