import type { CycleDetail } from '@jarfold/contracts';
import { useState } from 'react';
import { useCycle } from '../../api/sterilising.js';
import { t } from '../../messages/translate.js';
import { Button, LinkButton } from '../../ui/Button.js';
import { Caution } from '../../ui/Caution.js';
import { DataTable } from '../../ui/DataTable.js';
import {
  formatCount,
  formatDay,
  formatDuration,
  formatNumber,
  formatPressure,
  formatTemperature,
} from '../../ui/format/index.js';
import { Notice } from '../../ui/Notice.js';
import { Panel } from '../../ui/Panel.js';
import { QueryStates } from '../../ui/QueryStates.js';
import { Tape } from '../../ui/Tape.js';
import { useScreenTitle } from '../../ui/use-screen-title.js';
import { recallHref } from '../recall/recall-href.js';
import { CycleTrace } from './CycleTrace.js';
import { DEPARTURE_WORDS, METHOD_WORDS, VERDICT_WORDS } from './cycle-words.js';
import { formatF0 } from './format-f0.js';
import { Readings } from './Readings.js';
import { TraceSheet } from './TraceSheet.js';

/** One steriliser cycle: what it was worth by its own method, its trace, and what came from it. */
export function CyclePage({ code }: { readonly code: string }) {
  const cycle = useCycle(code);
  const [attaching, setAttaching] = useState(false);
  useScreenTitle(t('cycle.screen', { code }));
  return (
    <>
      <header className="screen__head">
        <h1>{t('cycle.screen', { code: cycle.data?.code ?? code })}</h1>
        <div className="row">
          <LinkButton href="/sterilising">{t('command.allCycles')}</LinkButton>
          {cycle.data && (
            <Button look="main" onClick={() => setAttaching(true)}>
              {t('command.attachTrace')}
            </Button>
          )}
        </div>
      </header>
      <QueryStates query={cycle}>{(data) => <Cycle cycle={data} />}</QueryStates>
      {attaching && cycle.data && <TraceSheet cycle={cycle.data} onClose={() => setAttaching(false)} />}
    </>
  );
}

function Cycle({ cycle }: { readonly cycle: CycleDetail }) {
  return (
    <>
      <Verdict cycle={cycle} />
      <CycleTrace cycle={cycle} />
      {cycle.readings.length > 0 && <Readings cycle={cycle} />}
      {cycle.kills.length > 0 && <Kills cycle={cycle} />}
      <Lots cycle={cycle} />
      <Loads cycle={cycle} />
      <Caution hazards={cycle.method === 'pressure' ? ['pressure', 'hotGlass'] : ['boiling', 'hotGlass']} />
    </>
  );
}

/** The verdict first, in plain words against the method's own target; then the numbers it rests on. */
function Verdict({ cycle }: { readonly cycle: CycleDetail }) {
  const { verdict, target } = cycle;
  return (
    <Panel title={t('cycle.verdict.title')} aside={<p className="soft">{formatDay(cycle.startedOn)}</p>}>
      <Notice tone={verdict.kind === 'departs' ? 'alarm' : 'plain'} title={t(VERDICT_WORDS[verdict.kind])}>
        {verdict.departures.map((departure) => (
          <p key={departure}>
            <strong>{t(DEPARTURE_WORDS[departure].what)}</strong> {t(DEPARTURE_WORDS[departure].action)}
          </p>
        ))}
        {verdict.kind === 'not enough data' && <p>{t('cycle.verdict.notEnoughHint')}</p>}
      </Notice>
      <dl className="cycle-head">
        {cycleFacts(cycle).map(({ label, value }) => (
          <div key={label} className="cycle-fact">
            <dt>{label}</dt>
            <dd>{value}</dd>
          </div>
        ))}
      </dl>
      {target && (
        <p>
          {t('cycle.target', {
            method: target.methodName,
            temperature: formatTemperature(target.temperatureC),
            hold: formatDuration(target.holdMin),
            source: target.source ?? t('text.noSource'),
          })}{' '}
          {target.f0Min !== null && t('cycle.targetF0', { f0: formatF0(target.f0Min) })}
        </p>
      )}
      {target && <p className="soft">{target.achieves}</p>}
      {cycle.altitudeM === null && target && <p className="soft">{t('cycle.noAltitude')}</p>}
      <p className="soft small">{t('cycle.notCertified')}</p>
    </Panel>
  );
}

function cycleFacts({ verdict, method, steriliser, holdMin, gaugePressureKpa, altitudeM }: CycleDetail) {
  const known = (label: string, value: string | null) => (value === null ? [] : [{ label, value }]);
  return [
    ...known(t('column.f0'), verdict.f0Min === null ? null : formatF0(verdict.f0Min)),
    ...known(t('cycle.from'), fromWords(verdict.from)),
    { label: t('column.method'), value: t(METHOD_WORDS[method]) },
    ...known(t('cycle.steriliser'), steriliser),
    ...known(t('cycle.holdLogged'), holdMin === null ? null : formatDuration(holdMin)),
    ...known(t('cycle.gauge'), gaugePressureKpa === null ? null : formatPressure(gaugePressureKpa)),
    ...known(t('field.altitude'), altitudeM === null ? null : t('format.metres', { length: formatCount(altitudeM) })),
    ...known(
      t('cycle.holdForTarget'),
      verdict.holdForTargetMin === null ? null : formatDuration(Math.ceil(verdict.holdForTargetMin)),
    ),
  ];
}

function fromWords(from: CycleDetail['verdict']['from']): string | null {
  if (from === null) return null;
  return from === 'trace' ? t('cycle.from.trace') : t('cycle.from.hold');
}

function Kills({ cycle }: { readonly cycle: CycleDetail }) {
  return (
    <Panel title={t('cycle.kills.title')}>
      <p className="soft">{t('cycle.kills.lead')}</p>
      <DataTable
        caption={t('cycle.kills.title')}
        rows={cycle.kills}
        rowKey={({ spore }) => spore}
        columns={[
          { key: 'spore', head: t('column.spore'), cell: ({ spore }) => spore },
          {
            key: 'log',
            head: t('column.logReduction'),
            numeric: true,
            cell: ({ log10 }) => (log10 < 10 ? formatNumber(Math.round(log10 * 10) / 10) : formatCount(log10)),
          },
          {
            key: 'd',
            head: t('column.dValue'),
            numeric: true,
            cell: ({ dMin }) => t('format.minutes', { minutes: dMin }),
          },
          { key: 'source', head: t('column.source'), cell: ({ source }) => source ?? t('text.noSource') },
        ]}
      />
    </Panel>
  );
}

function Lots({ cycle }: { readonly cycle: CycleDetail }) {
  const { lotRows, blanks, blanksContaminated, contaminated } = cycle;
  return (
    <Panel title={t('cycle.lots.title')}>
      <p>{blankWords({ blanks, blanksContaminated, contaminated })}</p>
      {lotRows.length === 0 ? (
        <p className="soft">{t('cycle.lots.none')}</p>
      ) : (
        <DataTable
          caption={t('cycle.lots.title')}
          rows={lotRows}
          rowKey={({ lotId }) => lotId}
          columns={[
            {
              key: 'code',
              head: t('column.lot'),
              cell: ({ code, lotId }) => (
                <LinkButton look="quiet" href={recallHref({ lotId })}>
                  <Tape>{code}</Tape>
                </LinkButton>
              ),
            },
            {
              key: 'strain',
              head: t('column.strain'),
              cell: ({ strainCode, blank }) => (blank ? t('cycle.lots.blank') : (strainCode ?? '')),
            },
            { key: 'made', head: t('column.madeOn'), cell: ({ madeOn }) => formatDay(madeOn) },
            { key: 'jars', head: t('column.jars'), numeric: true, cell: ({ jars }) => formatCount(jars) },
            {
              key: 'bad',
              head: t('column.contaminated'),
              numeric: true,
              cell: (lot) => formatCount(lot.contaminated),
            },
          ]}
        />
      )}
    </Panel>
  );
}

/** What the blanks say about where to look: grain and steriliser, or hands and mothers. */
function blankWords({
  blanks,
  blanksContaminated,
  contaminated,
}: Pick<CycleDetail, 'blanks' | 'blanksContaminated' | 'contaminated'>): string {
  if (blanks === 0) return t('cycle.blanks.none');
  if (blanksContaminated > 0) return t('cycle.blanks.bad', { bad: blanksContaminated, count: blanks });
  return contaminated > 0
    ? t('cycle.blanks.cleanLotsBad', { count: blanks })
    : t('cycle.blanks.clean', { count: blanks });
}

function Loads({ cycle }: { readonly cycle: CycleDetail }) {
  if (cycle.loads.length === 0) return null;
  return (
    <Panel title={t('cycle.loads.title')}>
      <DataTable
        caption={t('cycle.loads.title')}
        rows={cycle.loads}
        rowKey={({ sizeName, grainBatchCode }) => `${sizeName} ${grainBatchCode}`}
        columns={[
          { key: 'size', head: t('column.size'), cell: ({ sizeName }) => sizeName },
          { key: 'count', head: t('column.jars'), numeric: true, cell: ({ count }) => formatCount(count) },
          { key: 'batch', head: t('column.grainBatch'), cell: ({ grainBatchCode }) => grainBatchCode ?? '' },
          {
            key: 'hold',
            head: t('column.publishedHold'),
            numeric: true,
            cell: ({ publishedHoldMin }) => (publishedHoldMin === null ? '' : formatDuration(publishedHoldMin)),
          },
        ]}
      />
    </Panel>
  );
}
