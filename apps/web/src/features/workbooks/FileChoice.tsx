import './workbooks.css';
import { t } from '../../messages/translate.js';

/** The browser's own file box behind a button of ours. */
export function FileChoice({
  busy,
  accept,
  onFile,
}: {
  readonly busy: boolean;
  readonly accept: string;
  readonly onFile: (file: File) => void;
}) {
  return (
    <label className="file-choice button button--plain" aria-disabled={busy || undefined}>
      <span>{t('command.chooseFile')}</span>
      <input
        type="file"
        accept={accept}
        disabled={busy}
        onChange={(event) => {
          const file = event.target.files?.[0];
          // The same file chosen again must count as chosen.
          event.target.value = '';
          if (file) onFile(file);
        }}
      />
    </label>
  );
}
