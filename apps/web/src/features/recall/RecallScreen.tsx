import './recall.css';
import type { RecallJson } from '@jarfold/contracts';
import { type FormEvent, useState } from 'react';
import { useLocation, useSearch } from 'wouter';
import { recallWorkbookUrl, useRecall } from '../../api/recall.js';
import { t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { Caution } from '../../ui/Caution.js';
import { DataTable } from '../../ui/DataTable.js';
import { TextField } from '../../ui/Field.js';
import { formatCount, formatDay, formatMass } from '../../ui/format/index.js';
import { Panel } from '../../ui/Panel.js';
import { QueryStates } from '../../ui/QueryStates.js';
import { Tape } from '../../ui/Tape.js';
import { NothingYet } from '../../ui/Waiting.js';
import { BalancePanel } from './BalancePanel.js';
import { LineageDrawing } from './LineageDrawing.js';
import { RelativesMap } from './RelativesMap.js';
import { RelativesTable } from './RelativesTable.js';
import { type RecallOf, recallHref } from './recall-href.js';

/** One jar or lot in; every relative out, on the shelves where it stands, and every gram accounted for. */
export default function RecallScreen() {
  const of = asked(new URLSearchParams(useSearch()));
  return (
    <>
      <header className="screen__head">
        <h1>{t('screen.recall')}</h1>
      </header>
      <AskForm of={of} />
      {of === null ? (
        <NothingYet title={t('recall.start')}>
          <p className="soft">{t('recall.startHint')}</p>
        </NothingYet>
      ) : (
        <Answer of={of} />
      )}
    </>
  );
}

function asked(search: URLSearchParams): RecallOf | null {
  const [jarId, lotId, code] = ['jarId', 'lotId', 'code'].map((name) => search.get(name));
  if (jarId) return { jarId };
  if (lotId) return { lotId };
  return code ? { code } : null;
}

function AskForm({ of }: { readonly of: RecallOf | null }) {
  const [, go] = useLocation();
  const [code, setCode] = useState(of !== null && 'code' in of ? of.code : '');
  const [missing, setMissing] = useState(false);
  const ask = (event: FormEvent) => {
    event.preventDefault();
    setMissing(code.trim() === '');
    if (code.trim() !== '') go(recallHref({ code: code.trim() }));
  };
  return (
    <search>
      <form className="ask" onSubmit={ask} noValidate>
        <TextField
          label={t('field.recallCode')}
          hint={t('recall.askHint')}
          error={missing ? t('recall.askMissing') : undefined}
          value={code}
          autoCapitalize="characters"
          autoComplete="off"
          spellCheck={false}
          onChange={(event) => setCode(event.target.value)}
        />
        <Button type="submit" look="main">
          {t('command.findRelatives')}
        </Button>
      </form>
    </search>
  );
}

function Answer({ of }: { readonly of: RecallOf }) {
  const recall = useRecall(of);
  return (
    <QueryStates query={recall}>
      {(data) => (
        <>
          <Head of={of} recall={data} />
          <RelativesMap jars={data.jars} />
          <LineageDrawing jars={data.jars} />
          <BalancePanel balance={data.balance} />
          <Runs runs={data.runs} />
          <RelativesTable jars={data.jars} />
          <Caution hazards={['mould']} />
        </>
      )}
    </QueryStates>
  );
}

function Head({ of, recall }: { readonly of: RecallOf; readonly recall: RecallJson }) {
  const { asked: root, jars, asOf } = recall;
  const count = (relation: RecallJson['jars'][number]['relation']) =>
    jars.filter((jar) => jar.relation === relation).length;
  return (
    <div className="row row--apart recall-head">
      <div className="stack stack--tight">
        <p>
          <Tape size="large">{root.code}</Tape>
        </p>
        <p>
          {t('recall.summary', {
            kind: root.kind,
            ancestors: count('ancestor'),
            descendants: count('descendant'),
            sisters: count('sister'),
            day: formatDay(asOf),
          })}
        </p>
      </div>
      <a className="button button--plain" href={recallWorkbookUrl(of)} download>
        {t('command.downloadWorkbook')}
      </a>
    </div>
  );
}

function Runs({ runs }: { readonly runs: RecallJson['runs'] }) {
  return (
    <Panel title={t('recall.runs')}>
      {runs.length === 0 ? (
        <p className="soft">{t('recall.noRuns')}</p>
      ) : (
        <DataTable
          caption={t('recall.runs')}
          rows={runs}
          rowKey={({ runId }) => runId}
          columns={[
            { key: 'run', head: t('column.run'), cell: ({ runName }) => runName },
            { key: 'day', head: t('column.day'), cell: ({ day }) => formatDay(day) },
            { key: 'jars', head: t('column.jars'), numeric: true, cell: ({ jars }) => formatCount(jars) },
            { key: 'mass', head: t('column.spawn'), numeric: true, cell: ({ grams }) => formatMass(grams) },
          ]}
        />
      )}
    </Panel>
  );
}
