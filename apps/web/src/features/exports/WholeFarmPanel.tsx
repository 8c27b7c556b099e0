import { farmFileAddress } from '../../api/exports.js';
import { t } from '../../messages/translate.js';
import { Panel } from '../../ui/Panel.js';

const FORMS = [
  ['jsonl', 'command.downloadJsonLines'],
  ['xlsx', 'command.downloadTables'],
  ['csv', 'command.downloadCsv'],
] as const;

/** Nobody is locked in: the whole farm in one file. */
export function WholeFarmPanel({ mayTakeOut }: { readonly mayTakeOut: boolean }) {
  return (
    <Panel title={t('exports.farm')}>
      <p>{t('exports.farmHint')}</p>
      {mayTakeOut ? (
        <div className="row">
          {FORMS.map(([form, words]) => (
            <a key={form} className="button button--plain" href={farmFileAddress(form)} download>
              {t(words)}
            </a>
          ))}
        </div>
      ) : (
        <p className="soft">{t('exports.farmOwner')}</p>
      )}
    </Panel>
  );
}
