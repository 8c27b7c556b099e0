/** Set by the launcher for a part that it starts ahead of its turn. */
export const BEGIN_WHEN_TOLD = 'JARFOLD_BEGIN_WHEN_TOLD';

/** What the launcher sends once everything a part stands on is there. */
export interface LauncherWord {
  readonly kind: 'begin';
  /** What only became known meanwhile, such as where the database listens; added to the part's environment. */
  readonly env: Readonly<Record<string, string>>;
}

/**
 * Waits for the launcher's word, in a part that was started ahead of its turn: it has read its own code by now, which is
 * most of its start, and touches neither database nor port before. Any other process goes on at once. A part whose
 * launcher is gone before the word has nothing to do and ends.
 */
export async function launcherWord(): Promise<void> {
  if (process.env[BEGIN_WHEN_TOLD] === undefined || process.send === undefined) return;
  const leave = (): void => process.exit(0);
  if (!process.connected) leave();
  process.once('disconnect', leave);
  const word = await new Promise<LauncherWord>((resolve) => {
    process.once('message', (message) => resolve(message as LauncherWord));
  });
  process.off('disconnect', leave);
  Object.assign(process.env, word.env);
}
