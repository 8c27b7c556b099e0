import type { Farm } from '@jarfold/contracts';
import { t } from '../../messages/translate.js';
import { CheckField } from '../../ui/Field.js';

/** Strains that may serve a run or an order; the order of choosing is the order of preference. */
export function StrainChoice({
  farm,
  chosen,
  onChoose,
  error,
}: {
  readonly farm: Farm;
  readonly chosen: readonly string[];
  readonly onChoose: (strainIds: readonly string[]) => void;
  readonly error: string | undefined;
}) {
  const offered = farm.strains.filter((strain) => !strain.archived || chosen.includes(strain.id));
  const toggle = (id: string, wanted: boolean) => onChoose(wanted ? [...chosen, id] : chosen.filter((it) => it !== id));
  return (
    <fieldset className="boxes">
      <legend>{t('field.strains')}</legend>
      <p className="field__hint">{t('runs.strainsHint')}</p>
      {offered.map((strain) => (
        <CheckField
          key={strain.id}
          label={strainLabel(strain, chosen)}
          checked={chosen.includes(strain.id)}
          onChange={(event) => toggle(strain.id, event.target.checked)}
        />
      ))}
      {error && <p className="field__error">{error}</p>}
    </fieldset>
  );
}

/** A farm with one strain need not choose it. */
export function onlyStrain(farm: Farm): readonly string[] {
  const inUse = farm.strains.filter((strain) => !strain.archived);
  return inUse.length === 1 ? [inUse[0]!.id] : [];
}

/** The order of choosing is the order of preference, so it is said at each box. */
function strainLabel(strain: Farm['strains'][number], chosen: readonly string[]): string {
  const label = t('format.strain', { code: strain.code, name: strain.name });
  const rank = chosen.indexOf(strain.id);
  return rank >= 0 && chosen.length > 1 ? t('runs.choiceRank', { strain: label, rank: rank + 1 }) : label;
}
