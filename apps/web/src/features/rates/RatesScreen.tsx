import './rates.css';
import type { Farm } from '@jarfold/contracts';
import { Link, useLocation, useSearch } from 'wouter';
import type { RatesScope } from '../../api/rates.js';
import { type MessageKey, t } from '../../messages/translate.js';
import { SelectField } from '../../ui/Field.js';
import { useScreenTitle } from '../../ui/use-screen-title.js';
import { NothingYet } from '../../ui/Waiting.js';
import { AheadView } from '../ahead/AheadView.js';
import { AgeingView } from './AgeingView.js';
import { ContaminationView } from './ContaminationView.js';
import { GrowthView } from './GrowthView.js';
import { PlanningView } from './PlanningView.js';
import { YieldView } from './YieldView.js';

const AREAS = [
  { area: '', title: 'rates.area.planning', View: PlanningView },
  { area: 'contamination', title: 'rates.area.contamination', View: ContaminationView },
  { area: 'growth', title: 'rates.area.growth', View: GrowthView },
  { area: 'ageing', title: 'rates.area.ageing', View: AgeingView },
  { area: 'yield', title: 'rates.area.yield', View: YieldView },
  { area: 'ahead', title: 'rates.area.ahead', View: AheadView },
] as const satisfies readonly { area: string; title: MessageKey; View: unknown }[];

/** Areas that tell of a span of days behind. */
const LOOKS_BACK: ReadonlySet<string> = new Set(['contamination', 'growth', 'ageing', 'yield']);

const SPANS = [
  { days: 90, words: 'rates.span.quarter' },
  { days: 365, words: 'rates.span.year' },
  { days: 3650, words: 'rates.span.all' },
] as const satisfies readonly { days: number; words: MessageKey }[];

const USUAL_DAYS = 365;

/** The farm's own numbers: a picture first, then the table with the same numbers. */
export default function RatesScreen({ farm, area }: { readonly farm: Farm; readonly area: string }) {
  const chosen = AREAS.find((each) => each.area === area);
  useScreenTitle(chosen ? t('rates.screenOf', { area: t(chosen.title) }) : t('screen.rates'));
  const scope = useScope(farm);
  if (!chosen) return <NothingYet title={t('text.noSuchScreen')} />;
  const { View } = chosen;
  return (
    <>
      <header className="screen__head">
        <h1>{t('screen.rates')}</h1>
      </header>
      <nav aria-label={t('rates.areas')}>
        <ul className="plain choice">
          {AREAS.map(({ area: key, title }) => (
            <li key={key}>
              <Link
                href={key ? `/rates/${key}` : '/rates'}
                className="button button--plain area-link"
                aria-current={key === area ? 'page' : undefined}
              >
                {t(title)}
              </Link>
            </li>
          ))}
        </ul>
      </nav>
      {LOOKS_BACK.has(area) && <ScopeChoice farm={farm} scope={scope} />}
      <View scope={scope} farm={farm} />
    </>
  );
}

/** The scope stands in the address, so that a view can be sent to someone. */
function useScope(farm: Farm): RatesScope {
  const search = new URLSearchParams(useSearch());
  const days = SPANS.find((span) => String(span.days) === search.get('days'))?.days ?? USUAL_DAYS;
  const strainId = farm.strains.find(({ id }) => id === search.get('strain'))?.id ?? null;
  return { days, strainId };
}

function ScopeChoice({ farm, scope }: { readonly farm: Farm; readonly scope: RatesScope }) {
  const [location, go] = useLocation();
  const choose = ({ days, strainId }: RatesScope) => {
    const search = new URLSearchParams({
      ...(days === USUAL_DAYS ? {} : { days: String(days) }),
      ...(strainId === null ? {} : { strain: strainId }),
    }).toString();
    go(search ? `${location}?${search}` : location, { replace: true });
  };
  return (
    <div className="field-grid scope">
      <SelectField
        label={t('field.span')}
        value={String(scope.days)}
        onChange={(event) => choose({ ...scope, days: Number(event.target.value) })}
      >
        {SPANS.map(({ days, words }) => (
          <option key={days} value={days}>
            {t(words)}
          </option>
        ))}
      </SelectField>
      <SelectField
        label={t('field.strain')}
        value={scope.strainId ?? ''}
        onChange={(event) => choose({ ...scope, strainId: event.target.value || null })}
      >
        <option value="">{t('text.all')}</option>
        {farm.strains.map((strain) => (
          <option key={strain.id} value={strain.id}>
            {t('format.strain', { code: strain.code, name: strain.name })}
          </option>
        ))}
      </SelectField>
    </div>
  );
}
