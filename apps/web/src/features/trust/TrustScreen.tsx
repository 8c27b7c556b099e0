import './trust.css';
import { type Trust, trustSchema } from '@jarfold/contracts';
import { useQuery } from '@tanstack/react-query';
import { request } from '../../api/request.js';
import { Frame } from '../../app/Frame.js';
import { type MessageKey, t } from '../../messages/translate.js';
import { LinkButton } from '../../ui/Button.js';
import { formatMoment } from '../../ui/format/index.js';
import { Notice } from '../../ui/Notice.js';
import { QueryStates } from '../../ui/QueryStates.js';
import { useScreenTitle } from '../../ui/use-screen-title.js';

const ANDROID = ['trust.android.1', 'trust.android.2', 'trust.android.3', 'trust.android.4'] as const;
const IPAD = ['trust.ipad.1', 'trust.ipad.2', 'trust.ipad.3', 'trust.ipad.4'] as const;

/** How a tablet comes to trust the farm's own server. Open to anybody: a tablet cannot sign in before it trusts. */
export default function TrustScreen() {
  useScreenTitle(t('screen.trust'));
  const trust = useQuery({
    queryKey: ['trust'],
    queryFn: ({ signal }) => request('/api/trust', { answer: trustSchema, signal }),
  });
  return (
    <Frame>
      <h1>{t('screen.trust')}</h1>
      <QueryStates query={trust}>
        {({ authority }) => (authority ? <OwnAuthority authority={authority} /> : <KnownAuthority />)}
      </QueryStates>
    </Frame>
  );
}

function KnownAuthority() {
  return (
    <>
      <p>{t('trust.known')}</p>
      <div>
        <LinkButton href="/" look="main">
          {t('command.openFarm')}
        </LinkButton>
      </div>
    </>
  );
}

function OwnAuthority({ authority }: { readonly authority: NonNullable<Trust['authority']> }) {
  return (
    <>
      <p>{t('trust.what')}</p>
      <section className="stack stack--tight">
        <h2>{t('trust.fingerprint')}</h2>
        <p className="fingerprint">
          {pairsOf(authority.fingerprint).map((pair, at) => (
            // biome-ignore lint/suspicious/noArrayIndexKey: pairs repeat, and their order never changes
            <span key={at}>{pair}</span>
          ))}
        </p>
        <Notice tone="care">
          <p>{t('trust.compare')}</p>
        </Notice>
        <p className="soft">{t('trust.whose', { name: authority.name, until: formatMoment(authority.validUntil) })}</p>
      </section>
      <div>
        {/* A plain link: the file is the server's, not a screen of this app. */}
        <a className="button button--main" href={authority.file} download>
          {t('command.downloadCertificate')}
        </a>
      </div>
      <Steps title={t('trust.android')} steps={ANDROID} />
      <Steps title={t('trust.ipad')} steps={IPAD} />
      <p className="soft">{t('trust.names')}</p>
      <div>
        <LinkButton href="/">{t('command.openFarm')}</LinkButton>
      </div>
    </>
  );
}

function Steps({ title, steps }: { readonly title: string; readonly steps: readonly MessageKey[] }) {
  return (
    <section className="stack stack--tight">
      <h2>{title}</h2>
      <ol className="steps">
        {steps.map((step) => (
          <li key={step}>{t(step)}</li>
        ))}
      </ol>
    </section>
  );
}

/** Pairs of hex digits, however the server puts them: `AB:CD` or `ABCD`. */
const pairsOf = (fingerprint: string): readonly string[] => fingerprint.match(/[0-9a-f]{2}/gi) ?? [];
