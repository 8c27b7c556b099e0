import './workbooks.css';
import { t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { Failure } from '../../ui/Failure.js';

/** How far the worker is with a file, and the way to stop it. */
export function UnderWay({
  label,
  said,
  progress,
  onStop,
  stopping,
  error,
}: {
  /** What is under way; the bar is called so. */
  readonly label: string;
  readonly said: string | null;
  readonly progress: { readonly done: number; readonly total: number } | null;
  readonly onStop: () => void;
  readonly stopping: boolean;
  readonly error: Error | null;
}) {
  const { done, total } = progress ?? { done: 0, total: 0 };
  return (
    <div className="stack">
      <p role="status">{said ?? label}</p>
      <div>
        <progress className="under-way__bar" aria-label={label} {...(total > 0 ? { max: total, value: done } : {})} />
        {total > 0 && <p>{t('files.progress', { done, total })}</p>}
      </div>
      <div>
        <Button busy={stopping} onClick={onStop}>
          {t('command.stopBringingIn')}
        </Button>
      </div>
      {error && <Failure error={error} />}
    </div>
  );
}
