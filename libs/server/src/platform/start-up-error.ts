export type StartUpProblem =
  | 'bad-environment'
  | 'process-ended'
  | 'no-database-binaries'
  | 'data-folder-locked'
  | 'data-folder-damaged'
  | 'other-major-version'
  | 'folder-not-writable'
  | 'database-unreachable'
  | 'database-refused-password'
  | 'database-missing'
  | 'database-too-old'
  | 'database-start-failed'
  | 'roles-not-created'
  | 'role-too-powerful'
  | 'migration-edited'
  | 'migration-unknown'
  | 'migration-failed';

/**
 * Something that keeps Jarfold from starting and that the person who runs it can put right. The message is one sentence
 * that says what happened, where, and what to do; it is meant to be printed as it is, without a stack.
 */
export class StartUpError extends Error {
  override readonly name = 'StartUpError';

  readonly code: StartUpProblem;

  constructor(code: StartUpProblem, message: string, options?: ErrorOptions) {
    super(message, options);
    this.code = code;
  }
}
