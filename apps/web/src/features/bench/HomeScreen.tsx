import type { Jar } from '@jarfold/domain';
import { type ReactNode, useState } from 'react';
import { useLocation } from 'wouter';
import { type MessageKey, t } from '../../messages/translate.js';
import { Glass } from '../../ui/drawing/Glass.js';
import { CrateDrawing, MoveDrawing, PlateDrawing, PotDrawing, SackDrawing } from '../../ui/drawing/Objects.js';
import { formatMass } from '../../ui/format/index.js';
import { BasketSign, MoveSign, NoteSign, ScanSign, ShakeSign } from './action-signs.js';
import { BenchScreen } from './BenchScreen.js';
import { BenchSheet } from './BenchSheet.js';
import { BigButton } from './BigButton.js';
import { useBench } from './bench-context.js';
import { CameraSheet } from './CameraSheet.js';
import { jarWords, tapeWords } from './JarTile.js';
import { jarFacts } from './jar-facts.js';
import { entriesSince, type JobCard, todaysJobs } from './jobs.js';
import { openOrders } from './open-orders.js';
import { PrintLink } from './PrintLink.js';
import { pressed } from './pressed.js';
import { useScanner } from './use-scanner.js';

interface Way {
  readonly to: string;
  readonly words: MessageKey;
  readonly picture: ReactNode;
}

/** What a bench day is made of, the most used first. */
const WAYS: readonly Way[] = [
  { to: '/check', words: 'command.check', picture: <Glass colonised={0.5} /> },
  { to: '/make/inoculate', words: 'command.inoculate', picture: <Glass colonised={0.12} /> },
  { to: '/use', words: 'command.useInRun', picture: <SackDrawing covered={0.6} /> },
  { to: '/prepare', words: 'command.prepare', picture: <PotDrawing /> },
  { to: '/act/move', words: 'command.move', picture: <MoveSign /> },
  { to: '/act/chill', words: 'command.chill', picture: <MoveDrawing kind="chill" /> },
  { to: '/act/warm', words: 'command.warm', picture: <MoveDrawing kind="warm" /> },
  { to: '/act/discard', words: 'command.discard', picture: <Glass colonised={0.5} mark="contaminated" /> },
  { to: '/act/shake', words: 'command.shake', picture: <ShakeSign /> },
  { to: '/act/keep', words: 'command.keepAsMother', picture: <Glass colonised={1} mark="mother" /> },
  { to: '/harvest', words: 'command.harvest', picture: <BasketSign /> },
  { to: '/note', words: 'command.note', picture: <NoteSign /> },
];
/** Offered while an order waits for jars: most farms have none. */
const HAND_OVER: Way = { to: '/hand-over', words: 'command.handOver', picture: <CrateDrawing covered={1} /> };
const RARER: readonly Way[] = [
  { to: '/make/blanks', words: 'command.keepBlanks', picture: <Glass colonised={0} /> },
  { to: '/make/receive', words: 'command.receive', picture: <Glass colonised={1} mark="ripe" /> },
  { to: '/make/culture', words: 'command.makeCulture', picture: <PlateDrawing /> },
  { to: '/act/regrow', words: 'command.regrowth', picture: <PlateDrawing /> },
  { to: '/act/find', words: 'command.finding', picture: <Glass colonised={0.5} mark="suspect" /> },
  { to: '/act/release', words: 'command.releaseMother', picture: <Glass colonised={1} /> },
  { to: '/act/empty', words: 'command.empty', picture: <Glass colonised={0} filled={0} opened /> },
  { to: '/act/break', words: 'command.broken', picture: <Glass colonised={0} filled={0} /> },
];
/** What can be done to one jar that was scanned. */
const FOR_ONE: readonly Way[] = [
  ...WAYS.filter(({ to }) => to.startsWith('/act/')),
  ...RARER.filter(({ to }) => to.startsWith('/act/')),
];

export function HomeScreen() {
  const { core, farm, status } = useBench();
  const [, go] = useLocation();
  const [more, setMore] = useState(false);
  const [jar, setJar] = useState<Jar | null>(null);
  const [unknown, setUnknown] = useState<string | null>(null);
  const [camera, setCamera] = useState(false);
  const found = (code: string) => {
    const scanned = core.view.jarWithCode(code) ?? null;
    setJar(scanned);
    setUnknown(scanned ? null : code);
    setCamera(false);
  };
  useScanner(found);
  const jobs = todaysJobs(farm, core.view, entriesSince(core.own(), status.cursor));
  const ways = [...WAYS, ...(openOrders(farm.runs).length > 0 ? [HAND_OVER] : []), ...(more ? RARER : [])];
  return (
    <BenchScreen title={t('screen.bench')}>
      <section aria-labelledby="todays-jobs">
        <h2 id="todays-jobs">{t('bench.home.jobs')}</h2>
        {jobs.length === 0 && <p>{t('bench.home.noJobs')}</p>}
        <ul className="jobs plain">
          {[...jobs]
            .sort((a, b) => Number(a.ready) - Number(b.ready))
            .map((job) => (
              <li key={job.id}>
                <Job job={job} onOpen={() => go(job.href)} />
              </li>
            ))}
        </ul>
      </section>
      {unknown && (
        <p className="wrong" role="alert">
          {t('bench.type.unknown', { text: unknown })}
        </p>
      )}
      <nav aria-label={t('bench.home.actions')} className="ways">
        {ways.map(({ to, words, picture }) => (
          <BigButton key={to} picture={picture} onClick={() => go(to)}>
            {t(words)}
          </BigButton>
        ))}
        <BigButton onClick={() => setCamera(true)} picture={<ScanSign />}>
          {t('command.camera')}
        </BigButton>
        <BigButton aria-expanded={more} onClick={() => setMore(!more)}>
          {t(more ? 'command.fewer' : 'command.moreActions')}
        </BigButton>
      </nav>
      {camera && <CameraSheet onCode={found} onClose={() => setCamera(false)} />}
      {jar && <OneJar jar={jar} onClose={() => setJar(null)} onWay={(to) => go(`${to}?jars=${jar.id}`)} />}
    </BenchScreen>
  );
}

function OneJar({
  jar,
  onClose,
  onWay,
}: {
  readonly jar: Jar;
  readonly onClose: () => void;
  readonly onWay: (to: string) => void;
}) {
  const { farm, today } = useBench();
  const facts = jarFacts(farm, jar, today);
  return (
    <BenchSheet title={tapeWords(facts)} onClose={onClose}>
      <p>{jarWords(facts)}</p>
      <p>{t('bench.jar.left', { mass: formatMass(jar.leftG) })}</p>
      <div className="choices__grid">
        {FOR_ONE.map(({ to, words, picture }) => (
          <BigButton key={to} picture={picture} onClick={() => onWay(to)}>
            {t(words)}
          </BigButton>
        ))}
        <PrintLink lotId={jar.lotId} of={{ jarIds: [jar.id] }} words="command.printLabel" />
      </div>
    </BenchSheet>
  );
}

function Job({ job, onOpen }: { readonly job: JobCard; readonly onOpen: () => void }) {
  const amount = (value: number) => (job.unit === 'grams' ? formatMass(value) : String(Math.round(value)));
  return (
    <button type="button" className={`job ${job.ready ? 'job--done' : ''}`} {...pressed(onOpen)}>
      <svg className="job__sign" viewBox="0 0 40 40" aria-hidden="true" focusable="false">
        <rect x="3" y="3" width="34" height="34" rx="3" />
        {job.ready && <path d="M9 21l8 8 14-17" />}
      </svg>
      <span className="job__words">
        <strong>
          {t(job.title, {
            count: Math.round(job.wanted),
            mass: formatMass(job.unit === 'grams' ? job.wanted : 0),
            strain: job.strainCode,
            generation: job.generation ?? 0,
            size: job.sizeName,
            run: job.runName,
            from: inOnePiece(job.from ?? ''),
          })}
        </strong>
        <span>
          {job.ready ? t('job.done') : t('job.progress', { done: amount(job.done), wanted: amount(job.wanted) })}
        </span>
      </span>
    </button>
  );
}

/** A code is read as one word: no line ends inside it. */
function inOnePiece(codes: string): string {
  return codes.replace(/[-/]/g, '$&\u2060');
}
