import { useState } from 'react';
import { t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { DataTable } from '../../ui/DataTable.js';
import { STATE_WORDS } from '../../ui/drawing/jar-look.js';
import { formatDay, formatMass } from '../../ui/format/index.js';
import { Panel } from '../../ui/Panel.js';
import { placeWords } from '../../ui/place-words.js';
import { Tape } from '../../ui/Tape.js';
import { JarSheet } from '../stock/JarSheet.js';
import type { RecalledJar } from './lineage-steps.js';
import { relationWords } from './relation-words.js';

const ROWS = 100;

/** Every relative as a row; the workbook holds all of them at once. */
export function RelativesTable({ jars }: { readonly jars: readonly RecalledJar[] }) {
  const [shown, setShown] = useState(ROWS);
  const [open, setOpen] = useState<string | null>(null);
  return (
    <Panel title={t('recall.all')}>
      <DataTable
        caption={t('recall.all')}
        rows={jars.slice(0, shown)}
        rowKey={({ jarId }) => jarId}
        columns={[
          {
            key: 'code',
            head: t('column.jar'),
            cell: ({ jarId, code }) => (
              <Button look="quiet" onClick={() => setOpen(jarId)}>
                <Tape>{code}</Tape>
              </Button>
            ),
          },
          { key: 'relation', head: t('column.relation'), cell: relationWords },
          { key: 'state', head: t('column.state'), cell: ({ state }) => t(STATE_WORDS[state]) },
          { key: 'place', head: t('column.place'), prose: true, cell: ({ place }) => placeWords(place) },
          { key: 'made', head: t('column.madeOn'), cell: ({ madeOn }) => formatDay(madeOn) },
          { key: 'madeG', head: t('column.madeG'), numeric: true, cell: ({ madeG }) => formatMass(madeG) },
          { key: 'drawnG', head: t('column.drawnG'), numeric: true, cell: ({ drawnG }) => formatMass(drawnG) },
          { key: 'leftG', head: t('column.leftG'), numeric: true, cell: ({ leftG }) => formatMass(leftG) },
          {
            key: 'goneG',
            head: t('column.discardedG'),
            numeric: true,
            cell: ({ discardedG }) => formatMass(discardedG),
          },
        ]}
      />
      {shown < jars.length && (
        <div className="row">
          <Button onClick={() => setShown(shown + ROWS)}>{t('command.more')}</Button>
          <p className="soft">{t('text.more', { count: jars.length - shown })}</p>
        </div>
      )}
      {open && <JarSheet jarId={open} onClose={() => setOpen(null)} />}
    </Panel>
  );
}
