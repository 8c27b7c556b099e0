import { type ReactNode, useCallback, useState } from 'react';
import { useLocation } from 'wouter';
import { t } from '../../messages/translate.js';
import { Glass } from '../../ui/drawing/Glass.js';
import { formatDuration } from '../../ui/format/index.js';
import { BenchSheet } from './BenchSheet.js';
import { BigButton } from './BigButton.js';
import { useBench } from './bench-context.js';
import { minutesSince, useNowMs } from './elapsed.js';
import { LastWords } from './LastWords.js';
import { useUpdate } from './use-update.js';

/** The frame of every bench screen: home, how sending stands, who is at work, and undo, each always in the same place. */
export function BenchShell({ children }: { readonly children: ReactNode }) {
  const { status, device } = useBench();
  const [location, go] = useLocation();
  const update = useUpdate();
  return (
    <div className="bench">
      <header className="bench__rail">
        <BigButton
          look="quiet"
          picture={<Glass colonised={0.7} size="small" />}
          aria-current={location === '/' ? 'page' : undefined}
          onClick={() => go('/')}
        >
          {t('screen.bench')}
        </BigButton>
        <SendingState onOpen={() => go('/tablet')} />
        <Leave />
        <Undo />
      </header>
      <main className="bench__main">
        {status.needsLook.length > 0 && (
          <BigButton look="alarm" className="bench__look" onClick={() => go('/look')}>
            {t('bench.shell.needsLook', { count: status.needsLook.length })}
          </BigButton>
        )}
        {status.needsSignIn && <SignInAgain shared={device !== null} />}
        {update.waiting && location === '/' && (
          <BigButton className="bench__look" onClick={update.take} hint={t('tablet.updateHint')}>
            {t('command.update')}
          </BigButton>
        )}
        <LastWords />
        {children}
      </main>
    </div>
  );
}

/** Nothing is lost by it: on a shared tablet the PIN pad comes up, on a person's own device the sign-in screen. */
function SignInAgain({ shared }: { readonly shared: boolean }) {
  const { changePerson } = useBench();
  return (
    <BigButton
      look="alarm"
      className="bench__look"
      onClick={() => (shared ? changePerson() : window.location.assign('/sign-in'))}
    >
      {t('bench.shell.signInAgain')}
    </BigButton>
  );
}

/**
 * A shared tablet is locked for the next person and keeps its copy of the farm. A person's own device is signed out and
 * its copy cleared, which cannot be undone without the network: the one thing at the bench that is asked twice.
 */
function Leave() {
  const { person, device, changePerson } = useBench();
  const [asking, setAsking] = useState(false);
  return (
    <>
      <BigButton look="quiet" hint={person.name} onClick={() => (device ? changePerson() : setAsking(true))}>
        {t(device ? 'command.changePerson' : 'command.signOut')}
      </BigButton>
      {asking && (
        <BenchSheet title={t('bench.leave.title')} onClose={() => setAsking(false)}>
          <p>{t('bench.leave.what')}</p>
          <BigButton look="main" onClick={() => setAsking(false)}>
            {t('command.stay')}
          </BigButton>
          <BigButton look="alarm" onClick={changePerson}>
            {t('command.signOut')}
          </BigButton>
        </BenchSheet>
      )}
    </>
  );
}

/** Unsent count and the age of the oldest, always on screen, in a word and a sign. */
function SendingState({ onOpen }: { readonly onOpen: () => void }) {
  const { status, core } = useBench();
  const nowMs = useNowMs(useCallback(() => core.nowMs(), [core]));
  const { unsent, oldestUnsentAtMs, lost } = status;
  const words =
    unsent > 0
      ? t('bench.shell.unsent', { count: unsent })
      : lost
        ? t('bench.shell.noNetwork')
        : t('bench.shell.allSent');
  const age =
    oldestUnsentAtMs === null
      ? undefined
      : t('bench.shell.oldest', { time: formatDuration(minutesSince(oldestUnsentAtMs, nowMs)) });
  return (
    <BigButton
      look="quiet"
      className={unsent > 0 ? 'sending sending--waiting' : 'sending'}
      picture={
        <svg className="sending__sign" viewBox="0 0 40 24" aria-hidden="true" focusable="false">
          {unsent > 0 ? (
            <path d="M4 4h32v16H4zM4 4l16 10L36 4" />
          ) : lost ? (
            <path d="M4 8c10-8 22-8 32 0M10 14c6-5 14-5 20 0M20 20v.3M4 2l32 20" />
          ) : (
            <path d="M10 13l7 7L32 4" />
          )}
        </svg>
      }
      hint={age}
      onClick={onOpen}
    >
      {words}
    </BigButton>
  );
}

function Undo() {
  const { core, undo, last } = useBench();
  const own = core.own();
  const backAgain = last?.kind === 'taken-back' && core.mayUndo(last.correction) ? last.correction : null;
  const target = backAgain ?? own.findLast((entry) => entry.kind !== 'corrected' && core.mayUndo(entry)) ?? null;
  return (
    <BigButton
      className="undo"
      aria-disabled={target === null}
      picture={
        <svg className="undo__sign" viewBox="0 0 40 30" aria-hidden="true" focusable="false">
          <path
            d={backAgain ? 'M34 12H14a8 8 0 0 0 0 16h12M26 4l8 8-8 8' : 'M6 12h20a8 8 0 0 1 0 16H14M14 4l-8 8 8 8'}
          />
        </svg>
      }
      onClick={() => target && void undo(target.id)}
    >
      {t(backAgain ? 'command.bringBack' : 'command.undo')}
    </BigButton>
  );
}
