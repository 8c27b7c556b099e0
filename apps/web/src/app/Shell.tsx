import './shell.css';
import { type ReactNode, useEffect, useLayoutEffect, useRef } from 'react';
import { Link, useLocation } from 'wouter';
import { useIsLead, useSession } from '../api/session.js';
import { type MessageKey, t } from '../messages/translate.js';

const SCREENS = [
  { path: '/', title: 'screen.week' },
  { path: '/plan', title: 'screen.plan' },
  { path: '/preparation', title: 'screen.preparation' },
  { path: '/stock', title: 'screen.stock' },
  { path: '/runs', title: 'screen.runs' },
  { path: '/rooms', title: 'screen.rooms' },
  { path: '/sterilising', title: 'screen.sterilising' },
  { path: '/rates', title: 'screen.rates' },
  { path: '/recall', title: 'screen.recall' },
  { path: '/workbooks', title: 'screen.workbooks' },
  { path: '/farm', title: 'screen.farm' },
  { path: '/people', title: 'screen.people', leads: true },
] as const satisfies readonly { path: string; title: MessageKey; leads?: true }[];

/** Screens that others lead to. */
const OFF_THE_RAIL = [
  { path: '/watch', title: 'screen.watch' },
  { path: '/exports', title: 'screen.exports', from: '/workbooks' },
  { path: '/old-spreadsheets', title: 'screen.oldSheets', from: '/workbooks' },
] as const satisfies readonly { path: string; title: MessageKey; from?: string }[];

/** The steel rail above every screen of a farm; the screen one stands on is marked with tape. */
export function Shell({ children }: { readonly children: ReactNode }) {
  const [location] = useLocation();
  const session = useSession();
  const isLead = useIsLead();
  const main = useScreenChange(location);
  return (
    <>
      <a className="skip" href="#main">
        {t('command.skipToContent')}
      </a>
      <header className="rail">
        <div className="rail__name">
          <span className="rail__product">{t('product.name')}</span>
          <span className="rail__farm">{session.data?.farm.name}</span>
        </div>
        <nav className="rail__nav" aria-label={t('text.screens')}>
          <ul className="plain">
            {SCREENS.filter((screen) => isLead || !('leads' in screen)).map(({ path, title }) => (
              <li key={path}>
                <Link href={path} className="rail__link" aria-current={isLit(location, path) ? 'page' : undefined}>
                  {t(title)}
                </Link>
              </li>
            ))}
            <li>
              {/* The bench is a program of its own: the browser goes there, not the desk's router. */}
              <a href="/bench" className="rail__link">
                {t('screen.bench')}
              </a>
            </li>
          </ul>
        </nav>
      </header>
      <main id="main" className="screen" ref={main} tabIndex={-1}>
        {children}
      </main>
    </>
  );
}

/** Whether a tab is lit: by its own screen, or by one that it leads to. */
const isLit = (location: string, path: string): boolean =>
  isOn(location, path) ||
  OFF_THE_RAIL.some((screen) => 'from' in screen && screen.from === path && isOn(location, screen.path));

/** A screen with parts of its own, such as the rates of one kind, is still that screen. */
const isOn = (location: string, path: string): boolean =>
  location === path || (path !== '/' && location.startsWith(`${path}/`));

/** A new screen has a new document title, starts at its top, and is where the keyboard goes on from. */
function useScreenChange(location: string) {
  const main = useRef<HTMLElement>(null);
  const first = useRef(true);
  // Before the effects of the screen itself, which may know a closer title.
  useLayoutEffect(() => {
    const screen = [...SCREENS, ...OFF_THE_RAIL].find(({ path }) => isOn(location, path));
    document.title = screen ? t('text.documentTitle', { screen: t(screen.title) }) : t('product.name');
  }, [location]);
  // biome-ignore lint/correctness/useExhaustiveDependencies: a new place is what moves the keyboard
  useEffect(() => {
    if (!first.current) {
      main.current?.focus({ preventScroll: true });
      window.scrollTo(0, 0);
    }
    first.current = false;
  }, [location]);
  return main;
}
