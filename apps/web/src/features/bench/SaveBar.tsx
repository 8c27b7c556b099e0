import type { Jar } from '@jarfold/domain';
import { useRef, useState } from 'react';
import { t } from '../../messages/translate.js';
import { BigButton } from './BigButton.js';

const MOST_NAMED = 6;
/** Within this time of a save, a touch belongs to the same press. Saving itself takes a few milliseconds. */
const SAME_PRESS_MS = 700;
/** Saving is over before anybody could read that it goes on; only a store that is slow is said to be busy. */
const BUSY_AFTER_MS = 300;

/** What is chosen and the one button that saves it, always in reach at the foot of the screen. */
export function SaveBar({
  jars,
  onClear,
  label,
  ready,
  missing,
  onSave,
}: {
  readonly jars: readonly Pick<Jar, 'code'>[];
  readonly onClear?: () => void;
  readonly label: string;
  readonly ready: boolean;
  /** What is still to be said before it can be saved. */
  readonly missing: string;
  readonly onSave: () => Promise<void>;
}) {
  const [busy, setBusy] = useState(false);
  const saving = useRef(false);
  const savedAtMs = useRef(Number.NEGATIVE_INFINITY);
  const save = async () => {
    // Wet gloves touch twice: the second touch of one press saves nothing.
    if (!ready || saving.current || performance.now() - savedAtMs.current < SAME_PRESS_MS) return;
    saving.current = true;
    const slow = setTimeout(() => setBusy(true), BUSY_AFTER_MS);
    try {
      await onSave();
      savedAtMs.current = performance.now();
    } finally {
      clearTimeout(slow);
      saving.current = false;
      setBusy(false);
    }
  };
  return (
    <div className="save-bar">
      <p className="save-bar__what">{!ready ? missing : jarNames(jars)}</p>
      {onClear && jars.length > 0 && <BigButton onClick={onClear}>{t('command.clear')}</BigButton>}
      <BigButton look="main" className="save-bar__save" aria-disabled={!ready} aria-busy={busy} onClick={save}>
        {label}
      </BigButton>
    </div>
  );
}

function jarNames(jars: readonly Pick<Jar, 'code'>[]): string {
  const named = jars.slice(0, MOST_NAMED).map(({ code }) => code);
  const more = jars.length - named.length;
  return [...named, ...(more > 0 ? [t('text.more', { count: more })] : [])].join(', ');
}
