import { t } from '../messages/translate.js';
import { Button } from './Button.js';

/** The end of a form: what it does, and the way out that keeps nothing. */
export function FormButtons({
  command = t('command.save'),
  busy,
  onDiscard,
}: {
  readonly command?: string;
  readonly busy: boolean;
  readonly onDiscard: () => void;
}) {
  return (
    <div className="row">
      <Button type="submit" look="main" busy={busy}>
        {command}
      </Button>
      <Button onClick={onDiscard}>{t('command.discardChanges')}</Button>
    </div>
  );
}
