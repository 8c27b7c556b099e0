import type { BenchPreparation, HoldGuidance, PreparationWanted } from '@jarfold/domain';
import { fromPublished, kilopascalsToPsi } from '@jarfold/domain';
import { type MessageKey, t } from '../../messages/translate.js';
import { PotDrawing } from '../../ui/drawing/Objects.js';
import { formatCount, formatDuration, formatNumber, formatPressure, formatTemperature } from '../../ui/format/index.js';
import { Notice } from '../../ui/Notice.js';
import { Panel } from '../../ui/Panel.js';
import { sourceWords } from '../../ui/source-words.js';

/** How many loads, and how long each is held at this altitude in this vessel. Never more pressure than it is rated for. */
export function HoldPanel({
  result,
  wanted,
}: {
  readonly result: BenchPreparation;
  readonly wanted: PreparationWanted;
}) {
  const { hold, loads, heatings } = result;
  if (hold === null) return null;
  return (
    <Panel title={t('preparation.hold')}>
      <div className="prep__pots" aria-hidden="true">
        {Array.from({ length: Math.min(loads, MOST_POTS) }, (_, i) => (
          // biome-ignore lint/suspicious/noArrayIndexKey: identical drawings without identity
          <PotDrawing key={i} />
        ))}
      </div>
      <dl className="prep__amounts">
        <div>
          <dt>{t('preparation.loads')}</dt>
          <dd>{formatCount(loads)}</dd>
        </div>
        <div>
          <dt>{t('preparation.holdFor')}</dt>
          <dd>{formatDuration(hold.holdMin)}</dd>
        </div>
        <div>
          <dt>{t('preparation.holdAt')}</dt>
          <dd>{formatTemperature(hold.temperatureC)}</dd>
        </div>
        {hold.gaugePressureKpa !== null && (
          <div className="prep__gauge">
            <dt>{t('cycle.gauge')}</dt>
            <dd>{formatPressure(hold.gaugePressureKpa)}</dd>
          </div>
        )}
      </dl>
      <HoldWords hold={hold} wanted={wanted} />
      {heatings > loads && (
        <p>{t('preparation.heatings', { count: heatings, treatments: wanted.method.treatments })}</p>
      )}
      <p className="soft">
        {t('preparation.blanks', { count: loads })} {wanted.method.achieves}
      </p>
      <p className="soft small">
        {t('preparation.holdSource', {
          base: formatDuration(hold.baseHoldMin),
          source: sourceWords(fromPublished(wanted.method.holdMin)),
        })}
      </p>
    </Panel>
  );
}

const MOST_POTS = 8;

const VESSEL_WORDS = {
  'no pressure': 'preparation.vessel.none',
  'within rating': 'preparation.vessel.within',
  'above rating': 'preparation.vessel.above',
  'rating unknown': 'preparation.vessel.unknown',
} as const satisfies Record<HoldGuidance['vessel'], MessageKey>;

function HoldWords({ hold, wanted }: { readonly hold: HoldGuidance; readonly wanted: PreparationWanted }) {
  const words = t(VESSEL_WORDS[hold.vessel], {
    altitude: t('format.metres', { length: formatCount(wanted.altitudeM) }),
    temperature: formatTemperature(hold.temperatureC),
    psi:
      hold.gaugePressureKpa === null ? '' : formatNumber(Math.round(kilopascalsToPsi(hold.gaugePressureKpa) * 10) / 10),
    base: formatDuration(hold.baseHoldMin),
    hold: formatDuration(hold.holdMin),
  });
  const grave = hold.vessel === 'above rating' || hold.vessel === 'rating unknown';
  return grave ? (
    <Notice tone="care">
      <p>{words}</p>
    </Notice>
  ) : (
    <p>{words}</p>
  );
}
