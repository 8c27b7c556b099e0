import { type Jar, jarStates } from '@jarfold/contracts';
import { useDeferredValue, useState } from 'react';
import { useFarm } from '../../api/farm.js';
import { type JarFilter, useJars } from '../../api/stock.js';
import { t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { DataTable } from '../../ui/DataTable.js';
import { FRESHNESS_WORDS, STATE_WORDS } from '../../ui/drawing/jar-look.js';
import { Failure } from '../../ui/Failure.js';
import { SelectField, TextField } from '../../ui/Field.js';
import { formatMass } from '../../ui/format/index.js';
import { Panel } from '../../ui/Panel.js';
import { placeWords } from '../../ui/place-words.js';
import { Tape } from '../../ui/Tape.js';
import { Waiting } from '../../ui/Waiting.js';
import { MOST_JARS_BY_ID } from '../labels/labels-address.js';
import { PrintLabels } from '../labels/PrintLabels.js';
import { JarSheet } from './JarSheet.js';

/** Every jar by its code, found by the beginning of the code, its strain or its state. */
export function JarList() {
  const [filter, setFilter] = useState<JarFilter>({});
  const jars = useJars(useDeferredValue(filter));
  const [shown, setShown] = useState<string | null>(null);
  const items = jars.data?.pages.flatMap((page) => page.items) ?? [];
  return (
    <Panel title={t('stock.jars')}>
      <JarFilters filter={filter} onChange={setFilter} />
      {jars.error && <Failure error={jars.error} onRetry={() => void jars.refetch()} />}
      {jars.isPending && <Waiting label={t('text.fetching')} />}
      {jars.data && items.length === 0 && <p className="soft">{t('stock.noneFound')}</p>}
      {items.length > 0 && items.length <= MOST_JARS_BY_ID && (
        <PrintLabels choices={[{ words: 'command.printShownLabels', of: { jarIds: items.map(({ id }) => id) } }]} />
      )}
      {items.length > MOST_JARS_BY_ID && <p className="soft">{t('labels.tooManyJars', { most: MOST_JARS_BY_ID })}</p>}
      {items.length > 0 && <Jars jars={items} onShow={setShown} />}
      {jars.hasNextPage && (
        <div>
          <Button busy={jars.isFetchingNextPage} onClick={() => void jars.fetchNextPage()}>
            {t('command.more')}
          </Button>
        </div>
      )}
      {shown && <JarSheet jarId={shown} onClose={() => setShown(null)} />}
    </Panel>
  );
}

function JarFilters({
  filter,
  onChange,
}: {
  readonly filter: JarFilter;
  readonly onChange: (filter: JarFilter) => void;
}) {
  const farm = useFarm();
  return (
    <div className="field-grid">
      <TextField
        label={t('field.jarCode')}
        value={filter.code ?? ''}
        onChange={(event) => onChange({ ...filter, code: event.target.value })}
      />
      <SelectField
        label={t('field.strain')}
        value={filter.strainId ?? ''}
        onChange={(event) => onChange({ ...filter, strainId: event.target.value || undefined })}
      >
        <option value="">{t('text.all')}</option>
        {farm.data?.strains.map((strain) => (
          <option key={strain.id} value={strain.id}>
            {t('format.strain', { code: strain.code, name: strain.name })}
          </option>
        ))}
      </SelectField>
      <SelectField
        label={t('field.state')}
        value={filter.state ?? ''}
        onChange={(event) => onChange({ ...filter, state: jarStates.find((state) => state === event.target.value) })}
      >
        <option value="">{t('stock.onHand')}</option>
        {jarStates.map((state) => (
          <option key={state} value={state}>
            {t(STATE_WORDS[state])}
          </option>
        ))}
      </SelectField>
    </div>
  );
}

function Jars({ jars, onShow }: { readonly jars: readonly Jar[]; readonly onShow: (jarId: string) => void }) {
  return (
    <DataTable
      caption={t('stock.jars')}
      rows={jars}
      rowKey={(jar) => jar.id}
      columns={[
        {
          key: 'code',
          head: t('column.jar'),
          cell: (jar) => (
            <Button look="quiet" onClick={() => onShow(jar.id)}>
              <Tape>{jar.code}</Tape>
            </Button>
          ),
        },
        {
          key: 'generation',
          head: t('column.generation'),
          cell: (jar) => t('format.generation', { generation: jar.generation }),
        },
        { key: 'state', head: t('column.state'), cell: (jar) => t(STATE_WORDS[jar.state]) },
        { key: 'mass', head: t('column.spawn'), numeric: true, cell: (jar) => formatMass(jar.gramsLeft) },
        { key: 'age', head: t('column.age'), numeric: true, cell: (jar) => t('format.days', { days: jar.ageDays }) },
        { key: 'life', head: t('column.life'), cell: (jar) => t(FRESHNESS_WORDS[jar.freshness]) },
        { key: 'place', head: t('column.place'), prose: true, cell: (jar) => placeWords(jar.place) },
      ]}
    />
  );
}
