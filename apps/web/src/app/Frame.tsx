import './frame.css';
import type { ReactNode } from 'react';
import { useSignOut } from '../api/session.js';
import { t } from '../messages/translate.js';
import { Button } from '../ui/Button.js';
import { Glass } from '../ui/drawing/Glass.js';

/** A screen without the farm around it: signing in, setting up, the first questions. */
export function Frame({ children, signedIn = false }: { readonly children: ReactNode; readonly signedIn?: boolean }) {
  return (
    <div className="frame">
      <header className="frame__head">
        <p className="frame__name">{t('product.name')}</p>
        {signedIn && <SignOut />}
      </header>
      <div className="frame__shelf" aria-hidden="true">
        {[0, 0.15, 0.35, 0.6, 0.85, 1].map((colonised) => (
          <Glass key={colonised} colonised={colonised} />
        ))}
      </div>
      <main className="frame__main">{children}</main>
    </div>
  );
}

function SignOut() {
  const signOut = useSignOut();
  return (
    <Button look="quiet" busy={signOut.isPending} onClick={() => signOut.mutate()}>
      {t('command.signOut')}
    </Button>
  );
}
