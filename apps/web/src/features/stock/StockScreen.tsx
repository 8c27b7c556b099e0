import './stock.css';
import type { Ageing, StockOverview, StockRow } from '@jarfold/contracts';
import type { CalendarDay } from '@jarfold/domain';
import { useState } from 'react';
import { useIsLead } from '../../api/session.js';
import { useAgeing, useStock } from '../../api/stock.js';
import { t } from '../../messages/translate.js';
import { Button, LinkButton } from '../../ui/Button.js';
import { Caution } from '../../ui/Caution.js';
import { type Column, DataTable } from '../../ui/DataTable.js';
import { Glass } from '../../ui/drawing/Glass.js';
import { FRESHNESS_WORDS, lookOfState, STATE_WORDS } from '../../ui/drawing/jar-look.js';
import { formatCount, formatDay, formatMass } from '../../ui/format/index.js';
import { Panel } from '../../ui/Panel.js';
import { placeWords } from '../../ui/place-words.js';
import { QueryStates } from '../../ui/QueryStates.js';
import { Tape } from '../../ui/Tape.js';
import { NothingYet } from '../../ui/Waiting.js';
import { AgeShelves } from './AgeShelves.js';
import { JarList } from './JarList.js';

const AGEING_WITHIN_DAYS = 14;

export default function StockScreen() {
  const stock = useStock();
  const ageing = useAgeing(AGEING_WITHIN_DAYS);
  return (
    <>
      <header className="screen__head">
        <h1>{t('screen.stock')}</h1>
        {stock.data && (
          <p className="soft">
            {t('stock.totals', {
              count: stock.data.totals.count,
              mass: formatMass(stock.data.totals.grams),
              day: formatDay(stock.data.asOf),
            })}
          </p>
        )}
      </header>
      <QueryStates query={stock}>{(overview) => <Overview overview={overview} />}</QueryStates>
      <Panel title={t('stock.ageing', { days: AGEING_WITHIN_DAYS })}>
        <QueryStates query={ageing}>{(data) => <AgeingJars ageing={data} />}</QueryStates>
      </Panel>
      <JarList />
    </>
  );
}

function Overview({ overview }: { readonly overview: StockOverview }) {
  const mayBringIn = useIsLead();
  const [generation, setGeneration] = useState<number | null>(null);
  if (overview.rows.length === 0) {
    return (
      <Panel title={t('stock.byAge')}>
        <NothingYet title={t('stock.empty')}>
          <p className="soft">{t('stock.emptyHint')}</p>
          {mayBringIn && (
            <>
              <p>{t('oldSheets.linkHint')}</p>
              <LinkButton href="/old-spreadsheets">{t('command.openOldSheets')}</LinkButton>
            </>
          )}
        </NothingYet>
      </Panel>
    );
  }
  const generations = [...new Set(overview.rows.map((row) => row.generation))].sort((a, b) => a - b);
  const rows = overview.rows.filter((row) => generation === null || row.generation === generation);
  return (
    <>
      <Panel
        title={t('stock.byAge')}
        aside={<GenerationChoice generations={generations} chosen={generation} onChoose={setGeneration} />}
      >
        <AgeShelves overview={overview} generation={generation} />
      </Panel>
      <Panel title={t('stock.table')}>
        <DataTable caption={t('stock.table')} columns={columnsOn(overview.asOf)} rows={rows} rowKey={rowKey} />
        {overview.rows.some((row) => row.state === 'contaminated') && <Caution hazards={['mould']} />}
      </Panel>
    </>
  );
}

const rowKey = (row: StockRow) => `${row.strainId} ${row.generation} ${row.state}`;

function GenerationChoice({
  generations,
  chosen,
  onChoose,
}: {
  readonly generations: readonly number[];
  readonly chosen: number | null;
  readonly onChoose: (generation: number | null) => void;
}) {
  return (
    <fieldset className="choice">
      <legend className="visually-hidden">{t('column.generation')}</legend>
      {[null, ...generations].map((generation) => (
        <Button key={String(generation)} aria-pressed={generation === chosen} onClick={() => onChoose(generation)}>
          {generation === null ? t('stock.allGenerations') : t('format.generation', { generation })}
        </Button>
      ))}
    </fieldset>
  );
}

const columnsOn = (asOf: CalendarDay): readonly Column<StockRow>[] => [
  {
    key: 'strain',
    head: t('column.strain'),
    cell: (row) => (
      <>
        <Tape>{row.strainCode}</Tape> {row.strainName}
      </>
    ),
  },
  {
    key: 'generation',
    head: t('column.generation'),
    cell: (row) => t('format.generation', { generation: row.generation }),
  },
  { key: 'state', head: t('column.state'), cell: (row) => <StateCell state={row.state} /> },
  { key: 'jars', head: t('column.jars'), numeric: true, cell: (row) => formatCount(row.count) },
  { key: 'mass', head: t('column.spawn'), numeric: true, cell: (row) => formatMass(row.grams) },
  { key: 'mothers', head: t('column.mothers'), numeric: true, cell: (row) => formatCount(row.keptAsMothers) },
  { key: 'life', head: t('column.life'), cell: (row) => <Life row={row} /> },
  { key: 'next', head: t('column.next'), cell: (row) => nextDay(row, asOf) },
];

export function StateCell({ state }: { readonly state: StockRow['state'] }) {
  return (
    <span className="state-cell">
      <Glass size="small" {...lookOfState(state)} />
      {t(STATE_WORDS[state])}
    </span>
  );
}

function Life({ row }: { readonly row: StockRow }) {
  const kinds = (['soon', 'past'] as const).filter((kind) => row.freshness[kind] > 0);
  if (kinds.length === 0) return null;
  return (
    <ul className="plain">
      {kinds.map((kind) => (
        <li key={kind}>{t('stock.lifeCount', { count: row.freshness[kind], life: t(FRESHNESS_WORDS[kind]) })}</li>
      ))}
    </ul>
  );
}

function nextDay(row: StockRow, asOf: CalendarDay): string {
  if (row.firstRipeOn && row.state === 'incubating') {
    return t(row.firstRipeOn < asOf ? 'stock.dueSince' : 'stock.firstRipe', { day: formatDay(row.firstRipeOn) });
  }
  return row.firstExpiresOn ? t('stock.firstTooOld', { day: formatDay(row.firstExpiresOn) }) : '';
}

/** What for and when, so that whoever must use a jar knows without opening the plan. */
function plannedWords({ planned, plannedOn, plannedRun, daysLeft }: Ageing['items'][number]): string {
  if (planned === null) return t('stock.planned.unknown');
  if (plannedOn === null) return t((daysLeft ?? 0) < 0 ? 'stock.planned.tooOld' : 'stock.planned.none');
  const day = formatDay(plannedOn);
  return planned === 'run'
    ? t('stock.planned.run', { run: plannedRun ?? '', day })
    : t('stock.planned.mother', { day });
}

function AgeingJars({ ageing }: { readonly ageing: Ageing }) {
  if (ageing.items.length === 0) return <p className="soft">{t('stock.noAgeing')}</p>;
  return (
    <DataTable
      caption={t('stock.ageing', { days: AGEING_WITHIN_DAYS })}
      rows={ageing.items}
      rowKey={(jar) => jar.id}
      columns={[
        { key: 'code', head: t('column.jar'), cell: (jar) => <Tape>{jar.code}</Tape> },
        { key: 'state', head: t('column.state'), cell: (jar) => t(STATE_WORDS[jar.state]) },
        { key: 'place', head: t('column.place'), cell: (jar) => placeWords(jar.place) },
        { key: 'mass', head: t('column.spawn'), numeric: true, cell: (jar) => formatMass(jar.gramsLeft) },
        {
          key: 'days',
          head: t('column.daysLeft'),
          cell: (jar) =>
            jar.daysLeft === null
              ? ''
              : jar.daysLeft < 0
                ? t('stock.daysPast', { days: -jar.daysLeft })
                : t('stock.daysLeft', { days: jar.daysLeft }),
        },
        { key: 'planned', head: t('column.plannedUse'), prose: true, cell: plannedWords },
      ]}
    />
  );
}
