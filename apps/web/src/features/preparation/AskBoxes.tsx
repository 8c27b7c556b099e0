import type { ContainerSizeJson, Farm } from '@jarfold/contracts';
import {
  fromPublished,
  grainKinds,
  heatMethods,
  mineralRecipes,
  usualFillShare,
  usualTargetMoisture,
} from '@jarfold/domain';
import { t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { SelectField, TextField } from '../../ui/Field.js';
import { formatVolume } from '../../ui/format/index.js';
import { sourceWords } from '../../ui/source-words.js';
import { grainSizes, ofGrain, type PreparationForm } from './preparation-form.js';

interface Asked {
  readonly form: PreparationForm;
  readonly farm: Farm;
  readonly errors: ReadonlyMap<string, string>;
  readonly onChange: (change: Partial<PreparationForm>) => void;
}

/** Jars first, since that is what the bench knows; the values behind them below. */
export function AskBoxes(asked: Asked) {
  return (
    <>
      <JarLines {...asked} />
      <GrainBoxes {...asked} />
      <VesselBoxes {...asked} />
    </>
  );
}

function JarLines({ form, farm, errors, onChange }: Asked) {
  const { lines } = form;
  const set = (at: number, change: Partial<PreparationForm['lines'][number]>) =>
    onChange({ lines: lines.map((line, i) => (i === at ? { ...line, ...change } : line)) });
  const sizes = grainSizes(farm);
  return (
    <div className="stack stack--tight">
      {lines.map((line, i) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: lines have no identity beyond their order
        <div key={i} className="prep__line">
          <TextField
            label={t('field.jarsToFill')}
            className="prep__jars"
            inputMode="numeric"
            value={line.jars}
            error={errors.get(`jars${i}`)}
            onChange={(event) => set(i, { jars: event.target.value })}
          />
          <SizeBox line={line} at={i} sizes={sizes} error={errors.get(`ml${i}`)} onChange={(ml) => set(i, { ml })} />
          {lines.length > 1 && (
            <Button
              look="quiet"
              aria-label={t('preparation.removeLine', { at: i + 1 })}
              onClick={() => onChange({ lines: lines.filter((_, at) => at !== i) })}
            >
              {t('command.remove')}
            </Button>
          )}
        </div>
      ))}
      <div>
        <Button onClick={() => onChange({ lines: [...lines, { jars: '0', ml: lines[0]?.ml ?? '1000' }] })}>
          {t('command.addSizeToBatch')}
        </Button>
      </div>
    </div>
  );
}

const OTHER = 'other';

/** One of the farm's sizes, or any volume. */
function SizeBox({
  line,
  at,
  sizes,
  error,
  onChange,
}: {
  readonly line: PreparationForm['lines'][number];
  readonly at: number;
  readonly sizes: readonly ContainerSizeJson[];
  readonly error: string | undefined;
  readonly onChange: (ml: string) => void;
}) {
  const known = sizes.some(({ volumeMl }) => String(volumeMl) === line.ml);
  return (
    <div className="prep__size">
      <SelectField
        label={t('field.jarSize')}
        value={known ? line.ml : OTHER}
        onChange={(event) => onChange(event.target.value === OTHER ? '' : event.target.value)}
      >
        {sizes.map(({ id, name, volumeMl }) => (
          <option key={id} value={String(volumeMl)}>
            {name === formatVolume(volumeMl) ? name : t('preparation.size', { name, volume: formatVolume(volumeMl) })}
          </option>
        ))}
        <option value={OTHER}>{t('preparation.otherSize')}</option>
      </SelectField>
      {!known && (
        <TextField
          label={t('preparation.volumeOf', { at: at + 1 })}
          unit={t('unit.ml')}
          inputMode="numeric"
          value={line.ml}
          error={error}
          onChange={(event) => onChange(event.target.value)}
        />
      )}
    </div>
  );
}

function GrainBoxes({ form, errors, onChange }: Asked) {
  const kind = grainKinds.find(({ key }) => key === form.grain);
  const source = (published: Parameters<typeof fromPublished>[0] | undefined) =>
    published && t('preparation.published', { source: sourceWords(fromPublished(published)) });
  return (
    <fieldset className="boxes stack stack--tight">
      <legend>{t('field.grain')}</legend>
      <div className="field-grid">
        <SelectField
          label={t('preparation.grainKind')}
          value={form.grain}
          onChange={(event) => onChange(ofGrain(event.target.value))}
        >
          {grainKinds.map(({ key, name }) => (
            <option key={key} value={key}>
              {name}
            </option>
          ))}
        </SelectField>
        <TextField
          label={t('field.targetMoisture')}
          unit={t('unit.percent')}
          inputMode="decimal"
          hint={source(usualTargetMoisture)}
          value={form.target}
          error={errors.get('target')}
          onChange={(event) => onChange({ target: event.target.value })}
        />
      </div>
      <details className="more">
        <summary>{t('preparation.moreGrain')}</summary>
        <div className="field-grid">
          <TextField
            label={t('field.grainMoisture')}
            unit={t('unit.percent')}
            inputMode="decimal"
            hint={source(kind?.moisture)}
            value={form.own}
            error={errors.get('own')}
            onChange={(event) => onChange({ own: event.target.value })}
          />
          <TextField
            label={t('field.bulkDensity')}
            unit={t('unit.gramsPerLitre')}
            inputMode="numeric"
            hint={source(kind?.bulkDensityGPerMl)}
            value={form.density}
            error={errors.get('density')}
            onChange={(event) => onChange({ density: event.target.value })}
          />
          <TextField
            label={t('field.fill')}
            unit={t('unit.percent')}
            inputMode="numeric"
            hint={source(usualFillShare)}
            value={form.fill}
            error={errors.get('fill')}
            onChange={(event) => onChange({ fill: event.target.value })}
          />
          <TextField
            label={t('field.spare')}
            unit={t('unit.percent')}
            inputMode="numeric"
            hint={t('preparation.spareHint')}
            value={form.spare}
            error={errors.get('spare')}
            onChange={(event) => onChange({ spare: event.target.value })}
          />
          <SelectField
            label={t('field.minerals')}
            value={form.minerals}
            onChange={(event) => onChange({ minerals: event.target.value })}
          >
            {mineralRecipes.map(({ key, name }) => (
              <option key={key} value={key}>
                {name}
              </option>
            ))}
          </SelectField>
        </div>
      </details>
    </fieldset>
  );
}

function VesselBoxes({ form, errors, onChange }: Asked) {
  return (
    <fieldset className="boxes stack stack--tight">
      <legend>{t('preparation.vessel')}</legend>
      <div className="field-grid">
        <SelectField
          label={t('column.method')}
          value={form.method}
          onChange={(event) => onChange({ method: event.target.value })}
        >
          {heatMethods.map(({ key, name }) => (
            <option key={key} value={key}>
              {name}
            </option>
          ))}
        </SelectField>
        {form.method === 'pressure' && (
          <TextField
            label={t('field.ratedPressure')}
            unit={t('unit.kilopascals')}
            inputMode="decimal"
            hint={t('preparation.ratedHint')}
            value={form.rated}
            error={errors.get('rated')}
            onChange={(event) => onChange({ rated: event.target.value })}
          />
        )}
        <TextField
          label={t('field.altitude')}
          unit={t('unit.m')}
          inputMode="numeric"
          value={form.altitude}
          error={errors.get('altitude')}
          onChange={(event) => onChange({ altitude: event.target.value })}
        />
        <TextField
          label={t('field.vesselPlaces')}
          unit={t('unit.jars')}
          inputMode="numeric"
          value={form.places}
          error={errors.get('places')}
          onChange={(event) => onChange({ places: event.target.value })}
        />
      </div>
    </fieldset>
  );
}
