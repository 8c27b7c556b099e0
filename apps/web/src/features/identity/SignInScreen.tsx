import { type FormEvent, useState } from 'react';
import { useSignIn } from '../../api/session.js';
import { Frame } from '../../app/Frame.js';
import { t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { Failure } from '../../ui/Failure.js';
import { TextField } from '../../ui/Field.js';
import { useScreenTitle } from '../../ui/use-screen-title.js';

export function SignInScreen() {
  useScreenTitle(t('screen.signIn'));
  const signIn = useSignIn();
  const [email, setEmail] = useState('');
  const [password, setPassword] = useState('');
  const submit = (event: FormEvent) => {
    event.preventDefault();
    signIn.mutate({ email, password });
  };
  return (
    <Frame>
      <h1>{t('screen.signIn')}</h1>
      {signIn.error && <Failure error={signIn.error} />}
      <form className="stack" onSubmit={submit}>
        <TextField
          label={t('field.email')}
          type="email"
          autoComplete="username"
          required
          value={email}
          onChange={(event) => setEmail(event.target.value)}
        />
        <TextField
          label={t('field.password')}
          type="password"
          autoComplete="current-password"
          required
          value={password}
          onChange={(event) => setPassword(event.target.value)}
        />
        <div className="row">
          <Button type="submit" look="main" busy={signIn.isPending}>
            {t('command.signIn')}
          </Button>
        </div>
      </form>
    </Frame>
  );
}
