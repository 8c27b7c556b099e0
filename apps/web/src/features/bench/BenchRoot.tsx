import './bench.css';
import type { OwnDevice } from '@jarfold/contracts';
import { type ReactNode, useCallback, useEffect, useMemo, useState } from 'react';
import { Route, Router, Switch } from 'wouter';
import { t } from '../../messages/translate.js';
import { type BrowserBench, openBrowserBench } from '../../offline/browser-core.js';
import type { BenchAction } from '../../offline/index.js';
import { type Person, TabletRecord } from '../../offline/tablet-record.js';
import { becomePerson, leaveTablet, refreshDevice, whoIsIn } from '../../offline/tablet-session.js';
import { Waiting } from '../../ui/Waiting.js';
import { ActScreen } from './ActScreen.js';
import { BenchShell } from './BenchShell.js';
import { type Bench, BenchProvider, type LastOutcome, type Outcome } from './bench-context.js';
import CheckScreen from './CheckScreen.js';
import { EnrolDoor, PersonDoor } from './Door.js';
import HandOverScreen from './HandOverScreen.js';
import HarvestScreen from './HarvestScreen.js';
import { HomeScreen } from './HomeScreen.js';
import { JAR_ACTS, type JarAct } from './jar-acts.js';
import LookScreen from './LookScreen.js';
import MakeScreen from './MakeScreen.js';
import NoteScreen from './NoteScreen.js';
import { NEW_LOTS, type NewLotKind } from './new-lot.js';
import PrepareScreen from './PrepareScreen.js';
import { sendPhotos } from './photo-sender.js';
import TabletScreen from './TabletScreen.js';
import UseScreen from './UseScreen.js';
import { useStatus } from './use-status.js';
import { useToday } from './use-today.js';
import { keepForOffline } from './use-update.js';

/** What is known before anything is drawn. */
interface Opening {
  readonly record: TabletRecord;
  readonly device: OwnDevice | null;
  readonly growerId: string | null;
  readonly person: Person | null;
  readonly reached: boolean;
}

export function BenchRoot() {
  const [opening, setOpening] = useState<Opening | null>(null);
  const [fault, setFault] = useState(false);
  useEffect(() => {
    open().then(setOpening, () => setFault(true));
    keepForOffline().catch(() => undefined);
  }, []);
  if (fault) return <Alone>{t('bench.noStorage')}</Alone>;
  if (!opening) return <Waiting label={t('text.fetching')} />;
  if (opening.growerId === null || (opening.person === null && opening.device === null)) {
    const { record, reached } = opening;
    return (
      <EnrolDoor
        record={record}
        reached={reached}
        onEnrolled={(device) => setOpening({ ...opening, device, growerId: device.farm.growerId, person: null })}
      />
    );
  }
  return <FarmBench key={opening.growerId} opening={opening} growerId={opening.growerId} />;
}

/** Shows what the tablet knows at once when somebody was at work on it; else asks the server who it is. */
async function open(): Promise<Opening> {
  const record = await TabletRecord.open();
  const [growerId, kept, person] = await Promise.all([
    record.get('growerId'),
    record.get('device'),
    record.get('person'),
  ]);
  if (growerId !== null && person !== null) return { record, device: kept, growerId, person, reached: true };
  const who = await whoIsIn();
  const device = who.kind === 'unreachable' ? kept : await refreshDevice(record);
  const reached = who.kind !== 'unreachable';
  if (who.kind !== 'in') return { record, device, growerId: device?.farm.growerId ?? null, person: null, reached };
  await record.set('growerId', who.growerId);
  await becomePerson(record, who.person);
  return { record, device, growerId: who.growerId, person: who.person, reached };
}

function FarmBench({ opening, growerId }: { readonly opening: Opening; readonly growerId: string }) {
  const [bench, setBench] = useState<BrowserBench | null>(null);
  const [fault, setFault] = useState(false);
  useEffect(() => {
    openBrowserBench(growerId).then(setBench, () => setFault(true));
  }, [growerId]);
  useEffect(() => (bench ? sendPhotos(growerId, bench.core, bench.store) : undefined), [bench, growerId]);
  if (fault) return <Alone>{t('bench.noStorage')}</Alone>;
  return bench ? (
    <AtWork opening={opening} bench={bench} growerId={growerId} />
  ) : (
    <Waiting label={t('text.fetching')} />
  );
}

function AtWork({
  opening,
  bench,
  growerId,
}: {
  readonly opening: Opening;
  readonly bench: BrowserBench;
  readonly growerId: string;
}) {
  const { core, store } = bench;
  const { record } = opening;
  const status = useStatus(core);
  const [person, setPerson] = useState(opening.person);
  const [device, setDevice] = useState(opening.device);
  const [last, setLast] = useState<LastOutcome | null>(null);
  useEffect(() => {
    void checkDoor(growerId, record).then((now) => {
      setDevice(now);
      if (!now) void core.leaveDevice();
    });
  }, [core, growerId, record]);
  useEffect(() => {
    if (device) void core.adoptDevice(device.deviceId);
  }, [core, device]);

  const staffId = person?.staffId ?? '';
  const say = useCallback((outcome: Outcome) => setLast({ ...outcome, tap: core.newId() }), [core]);
  const act = useCallback(
    async (action: BenchAction, by = staffId) => {
      try {
        const answer = await core.record(action, by);
        say(answer.outcome === 'saved' ? { ...answer, kind: 'saved' } : { ...answer, kind: 'impossible' });
        return answer.outcome === 'saved' ? answer.entry : null;
      } catch {
        say({ kind: 'not-stored' });
        return null;
      }
    },
    [core, say, staffId],
  );
  const undo = useCallback(
    async (entryId: string) => {
      const target = core.own().find(({ id }) => id === entryId);
      try {
        const answer = await core.undo(entryId, staffId);
        if (!target || answer.outcome === 'nothing-to-undo') return;
        if (answer.outcome === 'in-the-way') say({ kind: 'in-the-way', entry: answer.entry });
        else if (target.kind === 'corrected') say({ kind: 'saved', entry: answer.entry, warnings: [] });
        else say({ kind: 'taken-back', entry: target, correction: answer.entry });
      } catch {
        say({ kind: 'not-stored' });
      }
    },
    [core, say, staffId],
  );
  const changePerson = useCallback(() => {
    setPerson(null);
    setLast(null);
    void leaveTablet(record, { shared: device !== null });
    // One person's own device keeps nothing of the farm once they have left it; a shared tablet is only locked.
    if (!device) void core.forgetFarm().then(() => store.dropAnsweredEntries());
  }, [core, store, record, device]);
  const farm = core.view.farm;
  const today = useToday(core, farm?.farm.timeZone ?? 'UTC');
  const value = useMemo<Bench | null>(() => {
    if (!farm || !person) return null;
    return { core, store, record, status, farm, person, device, today, last, act, undo, changePerson };
  }, [core, store, record, status, farm, person, device, today, last, act, undo, changePerson]);

  if (!person) {
    const arrive = (arrived: Person) => {
      setPerson(arrived);
      void core.signedIn();
    };
    return device ? (
      <PersonDoor record={record} device={device} nowMs={() => core.nowMs()} onIn={arrive} />
    ) : (
      <EnrolDoor record={record} reached={status.reached} onEnrolled={setDevice} />
    );
  }
  if (!value) return <NoFarmYet status={status} />;
  return <BenchProvider value={value}>{FRAME}</BenchProvider>;
}

/** Made once: what a tap changes is drawn where it is shown, and not from the frame down. */
const FRAME = (
  <Router base="/bench">
    <BenchShell>
      <Screens />
    </BenchShell>
  </Router>
);

/** The server's word on who is signed in and what this tablet is; without the server what is known stays. */
async function checkDoor(growerId: string, record: TabletRecord): Promise<OwnDevice | null> {
  const who = await whoIsIn();
  // Somebody of another farm is signed in on this browser now: this farm's bench is not theirs to see.
  if (who.kind === 'in' && who.growerId !== growerId) {
    await record.set('person', null);
    await record.set('growerId', null);
    window.location.reload();
  }
  return who.kind === 'unreachable' ? record.get('device') : refreshDevice(record);
}

function Screens() {
  return (
    <Switch>
      <Route path="/">
        <HomeScreen />
      </Route>
      <Route path="/check">
        <CheckScreen />
      </Route>
      <Route path="/hand-over">
        <HandOverScreen />
      </Route>
      <Route path="/use">
        <UseScreen />
      </Route>
      <Route path="/prepare">
        <PrepareScreen />
      </Route>
      <Route path="/harvest">
        <HarvestScreen />
      </Route>
      <Route path="/note">
        <NoteScreen />
      </Route>
      <Route path="/look">
        <LookScreen />
      </Route>
      <Route path="/tablet">
        <TabletScreen />
      </Route>
      <Route path="/act/:act">
        {({ act }) =>
          isOneOf(JAR_ACTS, act) ? <ActScreen key={act} act={act as JarAct} /> : <p>{t('text.noSuchScreen')}</p>
        }
      </Route>
      <Route path="/make/:kind">
        {({ kind }) =>
          isOneOf(NEW_LOTS, kind) ? (
            <MakeScreen key={kind} kind={kind as NewLotKind} />
          ) : (
            <p>{t('text.noSuchScreen')}</p>
          )
        }
      </Route>
      <Route>
        <p>{t('text.noSuchScreen')}</p>
      </Route>
    </Switch>
  );
}

function isOneOf(list: readonly string[], word: string | undefined): boolean {
  return word !== undefined && list.includes(word);
}

function NoFarmYet({ status }: { readonly status: Bench['status'] }) {
  if (status.reached || status.fetching) return <Waiting label={t('bench.fetchingFarm')} />;
  return <Alone>{t('bench.noFarmYet')}</Alone>;
}

function Alone({ children }: { readonly children: ReactNode }) {
  return (
    <main className="bench bench--door">
      <div className="bench__main">
        <h1>{t('screen.bench')}</h1>
        <p role="alert">{children}</p>
      </div>
    </main>
  );
}
