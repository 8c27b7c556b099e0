import type { OwnDevice } from '@jarfold/contracts';
import { useState } from 'react';
import { t } from '../../messages/translate.js';
import type { Person, TabletRecord } from '../../offline/tablet-record.js';
import { enrol, type PinAnswer, signInByPin } from '../../offline/tablet-session.js';
import { BenchScreen } from './BenchScreen.js';
import { BigButton } from './BigButton.js';
import { CameraSheet } from './CameraSheet.js';
import { PinPad } from './PinPad.js';

const ROLE_WORDS = { hand: 'role.hand', lead: 'role.lead', owner: 'role.owner' } as const;

/** Who is at work? The faces of the farm, then six digits. Works without the server once it has been told of them. */
export function PersonDoor({
  record,
  device,
  nowMs,
  onIn,
}: {
  readonly record: TabletRecord;
  readonly device: OwnDevice;
  readonly nowMs: () => number;
  readonly onIn: (person: Person) => void;
}) {
  const [staffId, setStaffId] = useState<string | null>(null);
  const [busy, setBusy] = useState(false);
  const [answer, setAnswer] = useState<PinAnswer | null>(null);
  const chosen = device.people.find((one) => one.staffId === staffId);
  const tryPin = async (pin: string) => {
    if (!chosen) return;
    setBusy(true);
    const said = await signInByPin(record, device, chosen.staffId, pin, nowMs());
    setBusy(false);
    setAnswer(said);
    if (said.kind === 'in') onIn(said.person);
  };
  return (
    <DoorFrame
      title={chosen ? t('bench.pin.of', { name: chosen.name }) : t('bench.door.who', { farm: device.farm.name })}
    >
      {!chosen && (
        <div className="choices__grid">
          {device.people.map((one) => (
            <BigButton
              key={one.staffId}
              aria-disabled={one.pin === null}
              hint={one.pin === null ? t('bench.door.noPin') : t(ROLE_WORDS[one.role])}
              onClick={() => one.pin && setStaffId(one.staffId)}
            >
              {one.name}
            </BigButton>
          ))}
        </div>
      )}
      {answer && answer.kind !== 'in' && (
        <p className="wrong" role="alert">
          {pinWords(answer)}
        </p>
      )}
      {chosen && (
        <>
          <PinPad name={chosen.name} busy={busy} onPin={(pin) => void tryPin(pin)} />
          <BigButton
            onClick={() => {
              setStaffId(null);
              setAnswer(null);
            }}
          >
            {t('command.someoneElse')}
          </BigButton>
        </>
      )}
    </DoorFrame>
  );
}

function pinWords(answer: Exclude<PinAnswer, { kind: 'in' }>): string {
  switch (answer.kind) {
    case 'wrong':
      return t('bench.pin.wrong');
    case 'wait':
      return t('bench.pin.wait', { seconds: answer.seconds });
    case 'unknown-here':
      return t('bench.pin.unknownHere');
    case 'refused':
      return answer.detail;
  }
}

/** A tablet that belongs to no farm yet: a one-time code makes it a tablet of the farm; or a person signs in by themselves. */
export function EnrolDoor({
  record,
  reached,
  onEnrolled,
}: {
  readonly record: TabletRecord;
  readonly reached: boolean;
  readonly onEnrolled: (device: OwnDevice) => void;
}) {
  const [code, setCode] = useState(() => decodeURIComponent(window.location.hash.slice(1)));
  const [busy, setBusy] = useState(false);
  const [problem, setProblem] = useState<string | null>(null);
  const [camera, setCamera] = useState(false);
  const submit = async () => {
    if (busy || code.trim() === '') return;
    setBusy(true);
    const answer = await enrol(record, code);
    setBusy(false);
    if (answer.kind === 'enrolled') onEnrolled(answer.device);
    else setProblem(answer.kind === 'refused' ? answer.detail : t('bench.enrol.unreachable'));
  };
  return (
    <DoorFrame title={t('screen.enrol')}>
      <p>{t('bench.enrol.how')}</p>
      {!reached && (
        <p className="wrong" role="alert">
          {t('bench.enrol.unreachable')}
        </p>
      )}
      <form
        className="stack"
        onSubmit={(event) => {
          event.preventDefault();
          void submit();
        }}
      >
        <label className="bench-field">
          {t('field.enrolmentCode')}
          <input
            value={code}
            onChange={(event) => setCode(event.target.value)}
            autoComplete="off"
            autoCapitalize="characters"
            spellCheck={false}
            aria-invalid={problem !== null}
          />
        </label>
        {problem && (
          <p className="wrong" role="alert">
            {problem}
          </p>
        )}
        <BigButton look="main" type="submit" aria-busy={busy}>
          {t('command.enrol')}
        </BigButton>
        <BigButton onClick={() => setCamera(true)}>{t('command.camera')}</BigButton>
      </form>
      <p>{t('bench.enrol.orSignIn')}</p>
      <a className="big big--plain" href="/sign-in">
        <span className="big__words">{t('command.signIn')}</span>
      </a>
      {camera && (
        <CameraSheet
          onCode={(read) => {
            setCode(read);
            setCamera(false);
          }}
          onClose={() => setCamera(false)}
        />
      )}
    </DoorFrame>
  );
}

function DoorFrame({ title, children }: { readonly title: string; readonly children: React.ReactNode }) {
  return (
    <main className="bench bench--door">
      <div className="bench__main">
        <BenchScreen title={title}>{children}</BenchScreen>
      </div>
    </main>
  );
}
