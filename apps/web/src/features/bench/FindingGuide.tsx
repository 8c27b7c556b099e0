import type { FindingKind } from '@jarfold/domain';
import { type MessageKey, t } from '../../messages/translate.js';
import { BigButton } from './BigButton.js';

/** What is seen, in a shape and in words. The drawings are our own and stand for habit and texture, not for colour alone. */
const GUIDE = {
  green_mould: { name: 'finding.green_mould', looks: 'finding.green_mould.looks', shape: <GreenMould /> },
  black_mould: { name: 'finding.black_mould', looks: 'finding.black_mould.looks', shape: <BlackMould /> },
  orange_mould: { name: 'finding.orange_mould', looks: 'finding.orange_mould.looks', shape: <OrangeMould /> },
  cobweb: { name: 'finding.cobweb', looks: 'finding.cobweb.looks', shape: <Cobweb /> },
  bacteria: { name: 'finding.bacteria', looks: 'finding.bacteria.looks', shape: <Bacteria /> },
  yeast: { name: 'finding.yeast', looks: 'finding.yeast.looks', shape: <Yeast /> },
  other: { name: 'finding.other', looks: 'finding.other.looks', shape: <SomethingElse /> },
  unknown: { name: 'finding.unknown', looks: 'finding.unknown.looks', shape: <CannotTell /> },
} as const satisfies Record<FindingKind, { name: MessageKey; looks: MessageKey; shape: React.ReactNode }>;

export function findingWords(kind: FindingKind): string {
  return t(GUIDE[kind].name);
}

export function FindingGuide({
  value,
  onChoose,
}: {
  readonly value: FindingKind | null;
  readonly onChoose: (kind: FindingKind) => void;
}) {
  return (
    <fieldset className="choices">
      <legend>{t('bench.finding.what')}</legend>
      <div className="choices__grid choices__grid--wide">
        {(Object.keys(GUIDE) as FindingKind[]).map((kind) => (
          <BigButton
            key={kind}
            {...(value === null ? {} : { chosen: kind === value })}
            picture={
              <svg className="finding" viewBox="0 0 60 60" aria-hidden="true" focusable="false">
                <rect className="finding__ground" x="1.500" y="1.500" width="57" height="57" rx="6" />
                {GUIDE[kind].shape}
              </svg>
            }
            hint={t(GUIDE[kind].looks)}
            onClick={() => onChoose(kind)}
          >
            {t(GUIDE[kind].name)}
          </BigButton>
        ))}
      </div>
    </fieldset>
  );
}

/** Powdery patch with a white rim. */
function GreenMould() {
  return (
    <>
      <circle className="finding__rim" cx="30" cy="30" r="21" />
      <circle className="finding__green" cx="30" cy="30" r="15" />
      <path className="finding__dots" d="M24 24v.1M31 22v.1M36 28v.1M28 31v.1M34 36v.1M24 36v.1M30 39v.1" />
    </>
  );
}

/** Pin heads on stalks. */
function BlackMould() {
  return (
    <>
      <path className="finding__stalk" d="M14 50V30M24 50V22M34 50V27M44 50V19M52 50V33" />
      <path className="finding__heads" d="M14 27v.1M24 19v.1M34 24v.1M44 16v.1M52 30v.1" />
    </>
  );
}

/** Loose cushion pushing past the lid. */
function OrangeMould() {
  return (
    <path
      className="finding__orange"
      d="M8 50c-2-14 6-16 8-24 3-9 10-6 13-12 4-7 12-4 14 3 2 6 10 8 9 18 3 6 0 12-2 15z M18 40c6-6 14-6 20 0"
    />
  );
}

/** Grey threads standing in the air above the grain. */
function Cobweb() {
  return (
    <path
      className="finding__thread"
      d="M6 52C16 20 26 44 30 14M12 54C24 26 34 48 46 12M22 54C34 34 42 46 54 22M8 40c14-6 30-4 46-14M8 30c12 0 28-2 44-16"
    />
  );
}

/** Wet sheen, drops, grain stuck in a lump. */
function Bacteria() {
  return (
    <>
      <path className="finding__wet" d="M6 36c8-6 14 4 24-2s16 2 24-2v20H6z" />
      <path
        className="finding__drop"
        d="M20 8c-5 7-7 10-7 13a7 7 0 0 0 14 0c0-3-2-6-7-13zM42 14c-4 5-5 7-5 10a5 5 0 0 0 10 0c0-3-1-5-5-10z"
      />
    </>
  );
}

/** Pale paste in smooth beads. */
function Yeast() {
  return (
    <path
      className="finding__beads"
      d="M18 22a8 8 0 1 0 .1 0zM36 18a7 7 0 1 0 .1 0zM44 34a9 9 0 1 0 .1 0zM24 40a8 8 0 1 0 .1 0z"
    />
  );
}

function SomethingElse() {
  return <path className="finding__sign" d="M30 14v32M14 30h32" />;
}

function CannotTell() {
  return <path className="finding__sign" d="M21 23a9 9 0 1 1 13 8c-3 2-4 4-4 8M30 47v.3" />;
}
