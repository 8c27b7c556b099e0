import { lazy, Suspense } from 'react';
import { Redirect, Route, Switch } from 'wouter';
import { useFarm } from '../api/farm.js';
import { useSession, useSetUpStatus } from '../api/session.js';
import { SetUpScreen } from '../features/identity/SetUpScreen.js';
import { SignInScreen } from '../features/identity/SignInScreen.js';
import { WeekScreen } from '../features/week/WeekScreen.js';
import { t } from '../messages/translate.js';
import { QueryStates } from '../ui/QueryStates.js';
import { NothingYet, Waiting } from '../ui/Waiting.js';
import { ErrorBoundary } from './ErrorBoundary.js';
import { Frame } from './Frame.js';
import { OfflineBanner } from './OfflineBanner.js';
import { Shell } from './Shell.js';

const StockScreen = lazy(() => import('../features/stock/StockScreen.js'));
const RunsScreen = lazy(() => import('../features/runs/RunsScreen.js'));
const PlanScreen = lazy(() => import('../features/plan/PlanScreen.js'));
const RoomsScreen = lazy(() => import('../features/rooms/RoomsScreen.js'));
const RatesScreen = lazy(() => import('../features/rates/RatesScreen.js'));
const CyclesScreen = lazy(() => import('../features/sterilising/CyclesScreen.js'));
const PreparationScreen = lazy(() => import('../features/preparation/PreparationScreen.js'));
const RecallScreen = lazy(() => import('../features/recall/RecallScreen.js'));
const WatchScreen = lazy(() => import('../features/watch/WatchScreen.js'));
const WorkbooksScreen = lazy(() => import('../features/workbooks/WorkbooksScreen.js'));
const OldSheetsScreen = lazy(() => import('../features/old-sheets/OldSheetsScreen.js'));
const ExportsScreen = lazy(() => import('../features/exports/ExportsScreen.js'));
const FarmScreen = lazy(() => import('../features/farm/FarmScreen.js'));
const PeopleScreen = lazy(() => import('../features/people/PeopleScreen.js'));
const TrustScreen = lazy(() => import('../features/trust/TrustScreen.js'));
const FirstStartScreen = lazy(() => import('../features/first-start/FirstStartScreen.js'));

export function App() {
  return (
    <ErrorBoundary>
      <OfflineBanner />
      <Door />
    </ErrorBoundary>
  );
}

/** Trusting the server comes before everything else, for whoever holds the tablet. */
function Door() {
  return (
    <Switch>
      <Route path="/trust">
        <Suspense fallback={<Waiting label={t('text.fetching')} />}>
          <TrustScreen />
        </Suspense>
      </Route>
      <Route>
        <FarmDoor />
      </Route>
    </Switch>
  );
}

/** Nobody in: sign in, or set the server up. Somebody in: their farm. */
function FarmDoor() {
  const session = useSession();
  const nobody = session.data === null;
  const setUp = useSetUpStatus(nobody);
  if (session.data) return <SignedIn />;
  if (!nobody) {
    return (
      <Frame>
        <QueryStates query={session}>{() => null}</QueryStates>
      </Frame>
    );
  }
  return (
    <Switch>
      <Route path="/set-up">
        <SetUpScreen />
      </Route>
      <Route>{setUp.data?.needed ? <Redirect to="/set-up" /> : <SignInScreen />}</Route>
    </Switch>
  );
}

function SignedIn() {
  const farm = useFarm();
  if (!farm.data) {
    return (
      <Shell>
        <QueryStates query={farm}>{() => null}</QueryStates>
      </Shell>
    );
  }
  if (!farm.data.started) {
    return (
      <Frame signedIn>
        <Suspense fallback={<Waiting label={t('text.fetching')} />}>
          <FirstStartScreen farm={farm.data} />
        </Suspense>
      </Frame>
    );
  }
  return (
    <Shell>
      <Suspense fallback={<Waiting label={t('text.fetching')} />}>
        <Switch>
          <Route path="/">
            <WeekScreen />
          </Route>
          <Route path="/stock">
            <StockScreen />
          </Route>
          <Route path="/plan">
            <PlanScreen />
          </Route>
          <Route path="/runs">
            <RunsScreen farm={farm.data} />
          </Route>
          <Route path="/rooms">
            <RoomsScreen farm={farm.data} />
          </Route>
          <Route path="/preparation">
            <PreparationScreen farm={farm.data} />
          </Route>
          <Route path="/sterilising">
            <CyclesScreen />
          </Route>
          <Route path="/rates/:area?">{({ area }) => <RatesScreen farm={farm.data} area={area ?? ''} />}</Route>
          <Route path="/recall">
            <RecallScreen />
          </Route>
          <Route path="/watch">
            <WatchScreen />
          </Route>
          <Route path="/workbooks">
            <WorkbooksScreen />
          </Route>
          <Route path="/old-spreadsheets/:importId?">
            {({ importId }) => <OldSheetsScreen farm={farm.data} importId={importId ?? ''} />}
          </Route>
          <Route path="/exports">
            <ExportsScreen />
          </Route>
          <Route path="/farm">
            <FarmScreen farm={farm.data} />
          </Route>
          <Route path="/people">
            <PeopleScreen />
          </Route>
          <Route path="/set-up">
            <Redirect to="/" replace />
          </Route>
          <Route path="/sign-in">
            <Redirect to="/" replace />
          </Route>
          <Route>
            <NothingYet title={t('text.noSuchScreen')} />
          </Route>
        </Switch>
      </Suspense>
    </Shell>
  );
}
