import { PASSWORD_ADVISED_LENGTH, PASSWORD_MIN_LENGTH, setUpSchema } from '@jarfold/contracts';
import { type FormEvent, useEffect, useState } from 'react';
import { useLocation } from 'wouter';
import { useSetUp, useSetUpStatus } from '../../api/session.js';
import { Frame } from '../../app/Frame.js';
import { t } from '../../messages/translate.js';
import { Button, LinkButton } from '../../ui/Button.js';
import { checkedBody, errorAt } from '../../ui/checked-body.js';
import { Failure } from '../../ui/Failure.js';
import { TextField } from '../../ui/Field.js';
import { QueryStates } from '../../ui/QueryStates.js';
import { useScreenTitle } from '../../ui/use-screen-title.js';

/** The first owner of a new server, let in by the token its console printed. */
export function SetUpScreen() {
  useScreenTitle(t('screen.setUp'));
  const status = useSetUpStatus(true);
  return (
    <Frame>
      <h1>{t('screen.setUp')}</h1>
      <QueryStates query={status}>
        {({ needed }) =>
          needed ? (
            <SetUpForm />
          ) : (
            <>
              <p>{t('setUp.done')}</p>
              <div>
                <LinkButton href="/sign-in" look="main">
                  {t('screen.signIn')}
                </LinkButton>
              </div>
            </>
          )
        }
      </QueryStates>
    </Frame>
  );
}

function SetUpForm() {
  const setUp = useSetUp();
  const [, go] = useLocation();
  const [values, setValues] = useState(startingValues);
  const [errors, setErrors] = useState<ReadonlyMap<string, string>>(new Map());
  // The console's link opened while this screen is up changes the part after the # only.
  useEffect(() => {
    const takeCode = () => setValues((now) => ({ ...now, token: codeFromAddress() }));
    window.addEventListener('hashchange', takeCode);
    return () => window.removeEventListener('hashchange', takeCode);
  }, []);
  const box = (name: keyof typeof values) => ({
    value: values[name],
    onChange: (event: { target: { value: string } }) => setValues({ ...values, [name]: event.target.value }),
    error: errorAt(`/${name}`, errors, setUp.error),
  });
  const submit = (event: FormEvent) => {
    event.preventDefault();
    const checked = checkedBody(setUpSchema, { ...values, ownerName: values.ownerName.trim() || undefined });
    setErrors(checked.ok ? new Map() : checked.errors);
    if (checked.ok) setUp.mutate(checked.body, { onSuccess: () => go('/', { replace: true }) });
  };
  return (
    <form className="stack" onSubmit={submit} noValidate>
      <p>{t('setUp.lead')}</p>
      {setUp.error && <Failure error={setUp.error} />}
      <TextField
        label={t('field.setUpToken')}
        hint={t('setUp.tokenHint')}
        autoComplete="off"
        required
        {...box('token')}
      />
      <TextField label={t('field.farmName')} autoComplete="organization" required {...box('farmName')} />
      <TextField label={t('field.ownerName')} autoComplete="name" {...box('ownerName')} />
      <TextField label={t('field.email')} type="email" autoComplete="username" required {...box('email')} />
      <TextField
        label={t('field.password')}
        hint={t('setUp.passwordHint', { min: PASSWORD_MIN_LENGTH, advised: PASSWORD_ADVISED_LENGTH })}
        type="password"
        autoComplete="new-password"
        required
        {...box('password')}
      />
      <TextField label={t('field.timeZone')} hint={t('setUp.timeZoneHint')} required {...box('timeZone')} />
      <div>
        <Button type="submit" look="main" busy={setUp.isPending}>
          {t('command.makeFarm')}
        </Button>
      </div>
    </form>
  );
}

function startingValues() {
  return {
    token: codeFromAddress(),
    farmName: '',
    ownerName: '',
    email: '',
    password: '',
    timeZone: Intl.DateTimeFormat().resolvedOptions().timeZone,
  };
}

/** After the # the code never reaches a server's log; it works once. It holds nothing that an address would encode. */
const codeFromAddress = (): string => window.location.hash.slice(1);
