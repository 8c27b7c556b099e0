import type { RefusedEntry } from '@jarfold/contracts';
import type { ReactNode } from 'react';
import { Link } from 'wouter';
import { t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { Glass } from '../../ui/drawing/Glass.js';
import { formatMoment } from '../../ui/format/index.js';
import { Tape } from '../../ui/Tape.js';
import { recallHref } from '../recall/recall-href.js';
import {
  askedWords,
  earlierInWords,
  entryInWords,
  leftWords,
  type Settlement,
  settlementsOf,
  takenWords,
  whoWords,
} from './conflict-words.js';

type JarInTheWay = RefusedEntry['jarsInTheWay'][number];

/** As many jars are offered at once as a person compares at a glance. */
const OTHER_JARS_AT_FIRST = 2;

/** One refused entry: what came first, what was refused, what is left, and the taps that settle it. */
export function Conflict({
  item,
  maySettle,
  busy,
  onSettle,
}: {
  readonly item: RefusedEntry;
  readonly maySettle: boolean;
  readonly busy: boolean;
  readonly onSettle: (settlement: Settlement) => void;
}) {
  const { entry, message, jarsInTheWay } = item;
  return (
    <li className="conflict">
      <h3>{entryInWords(item)}</h3>
      <p>{message}</p>
      <div className="conflict__slips">
        {jarsInTheWay.flatMap(({ code, earlier }) =>
          earlier.map((draw) => (
            <Slip key={draw.entryId} title={t('conflict.recorded')} at={draw.effectiveAt} who={whoWords(draw)}>
              <p>{earlierInWords(draw)}</p>
              <p>
                <Tape>{code}</Tape> {takenWords(draw)}
              </p>
            </Slip>
          )),
        )}
        <Slip refused title={t('conflict.refused')} at={entry.effectiveAt} who={whoWords(item)}>
          <p>{entryInWords(item)}</p>
          {jarsInTheWay.map((jar) => (
            <p key={jar.jarId}>
              <Tape>{jar.code}</Tape> {askedWords(jar)}
            </p>
          ))}
        </Slip>
        {jarsInTheWay.map((jar) => (
          <LeftInJar key={jar.jarId} jar={jar} />
        ))}
      </div>
      {maySettle ? <Taps item={item} busy={busy} onSettle={onSettle} /> : <p>{t('conflict.leadSettles')}</p>}
    </li>
  );
}

function Slip({
  title,
  at,
  who,
  refused = false,
  children,
}: {
  readonly title: string;
  readonly at: string;
  readonly who: string;
  readonly refused?: boolean;
  readonly children: ReactNode;
}) {
  return (
    <section className={`slip ${refused ? 'slip--refused' : ''}`}>
      <h4>{title}</h4>
      <p>
        <strong>{who}</strong>
        <br />
        <span className="soft small">{formatMoment(at)}</span>
      </p>
      {children}
    </section>
  );
}

function LeftInJar({ jar }: { readonly jar: JarInTheWay }) {
  return (
    <section className="slip slip--left">
      <Glass colonised={1} filled={(jar.leftG ?? 0) > 0 ? 0.4 : 0} opened />
      <div>
        <h4>{t('conflict.now')}</h4>
        <p>
          <Link href={recallHref({ jarId: jar.jarId })} className="slip__jar">
            <Tape>{jar.code}</Tape>
          </Link>
        </p>
        <p>
          <strong>{leftWords(jar)}</strong>
        </p>
      </div>
    </section>
  );
}

function Taps({
  item,
  busy,
  onSettle,
}: {
  readonly item: RefusedEntry;
  readonly busy: boolean;
  readonly onSettle: (settlement: Settlement) => void;
}) {
  const settlements = settlementsOf(item);
  const others = settlements.filter(({ settle }) => settle.way === 'take_another_jar');
  const folded = new Set(others.slice(OTHER_JARS_AT_FIRST));
  const tap = (settlement: Settlement, first = false) => (
    <Button
      key={settlement.key}
      look={first ? 'main' : 'plain'}
      busy={busy}
      onClick={() => onSettle(settlement)}
      className="conflict__tap"
    >
      {settlement.words}
    </Button>
  );
  return (
    <>
      <div className="row">{settlements.filter((one) => !folded.has(one)).map((one, at) => tap(one, at === 0))}</div>
      {folded.size > 0 && (
        <details className="more">
          <summary>{t('conflict.moreJars', { count: folded.size })}</summary>
          <div className="row">{[...folded].map((one) => tap(one))}</div>
        </details>
      )}
    </>
  );
}
