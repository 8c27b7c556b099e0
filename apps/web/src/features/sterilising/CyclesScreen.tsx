import './sterilising.css';
import type { CycleJson } from '@jarfold/contracts';
import { Link, useSearch } from 'wouter';
import { useCycles } from '../../api/sterilising.js';
import { t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { Caution } from '../../ui/Caution.js';
import { DataTable } from '../../ui/DataTable.js';
import { Failure } from '../../ui/Failure.js';
import { formatCount, formatDay, formatDuration } from '../../ui/format/index.js';
import { Panel } from '../../ui/Panel.js';
import { Tape } from '../../ui/Tape.js';
import { NothingYet, Waiting } from '../../ui/Waiting.js';
import { CyclePage } from './CyclePage.js';
import { CycleShelf } from './CycleShelf.js';
import { METHOD_WORDS, VERDICT_WORDS } from './cycle-words.js';
import { formatF0 } from './format-f0.js';

/** Steriliser cycles; the one named in the address is opened. */
export default function CyclesScreen() {
  const code = new URLSearchParams(useSearch()).get('cycle');
  return code === null ? <CycleList /> : <CyclePage key={code} code={code} />;
}

function CycleList() {
  const cycles = useCycles();
  const items = cycles.data?.pages.flatMap((page) => page.items) ?? [];
  return (
    <>
      <header className="screen__head">
        <h1>{t('screen.sterilising')}</h1>
      </header>
      {cycles.error && <Failure error={cycles.error} onRetry={() => void cycles.refetch()} />}
      {cycles.isPending && <Waiting label={t('text.fetching')} />}
      {cycles.data && items.length === 0 && (
        <NothingYet title={t('cycles.none')}>
          <p className="soft">{t('cycles.noneHint')}</p>
        </NothingYet>
      )}
      {items.length > 0 && (
        <Panel title={t('cycles.title')}>
          <CycleShelf cycles={items} />
          <Cycles cycles={items} />
          {cycles.hasNextPage && (
            <div>
              <Button busy={cycles.isFetchingNextPage} onClick={() => void cycles.fetchNextPage()}>
                {t('command.more')}
              </Button>
            </div>
          )}
        </Panel>
      )}
      <Caution hazards={['pressure', 'hotGlass']} />
    </>
  );
}

function Cycles({ cycles }: { readonly cycles: readonly CycleJson[] }) {
  return (
    <DataTable
      caption={t('cycles.title')}
      rows={cycles}
      rowKey={({ id }) => id}
      columns={[
        {
          key: 'code',
          head: t('column.cycle'),
          cell: ({ code }) => (
            <Link href={cycleHref(code)} className="button button--quiet">
              <Tape>{code}</Tape>
            </Link>
          ),
        },
        { key: 'day', head: t('column.day'), cell: ({ startedOn }) => formatDay(startedOn) },
        { key: 'method', head: t('column.method'), cell: ({ method }) => t(METHOD_WORDS[method]) },
        {
          key: 'hold',
          head: t('column.hold'),
          numeric: true,
          cell: ({ holdMin }) => (holdMin === null ? t('cycles.notLogged') : formatDuration(holdMin)),
        },
        {
          key: 'f0',
          head: t('column.f0'),
          numeric: true,
          cell: ({ verdict: { f0Min, from } }) =>
            f0Min === null ? '' : from === 'trace' ? formatF0(f0Min) : t('cycles.estimated', { f0: formatF0(f0Min) }),
        },
        { key: 'verdict', head: t('column.verdict'), cell: ({ verdict }) => t(VERDICT_WORDS[verdict.kind]) },
        {
          key: 'jars',
          head: t('column.contaminatedOfJars'),
          numeric: true,
          cell: ({ contaminated, jars }) =>
            t('cycles.of', { count: formatCount(contaminated), all: formatCount(jars) }),
        },
        {
          key: 'blanks',
          head: t('column.contaminatedBlanks'),
          numeric: true,
          cell: ({ blanks, blanksContaminated }) =>
            blanks === 0
              ? t('cycles.noBlank')
              : t('cycles.of', { count: formatCount(blanksContaminated), all: formatCount(blanks) }),
        },
      ]}
    />
  );
}

/** Where a cycle's page is. */
export const cycleHref = (code: string): string => `/sterilising?cycle=${encodeURIComponent(code)}`;
