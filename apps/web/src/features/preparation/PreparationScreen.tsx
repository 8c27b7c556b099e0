import './preparation.css';
import type { Farm, Week } from '@jarfold/contracts';
import { useLocation, useSearch } from 'wouter';
import { useGrainStock } from '../../api/preparation.js';
import { useWeek } from '../../api/week.js';
import { t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { Caution } from '../../ui/Caution.js';
import { formatDay } from '../../ui/format/index.js';
import { Notice } from '../../ui/Notice.js';
import { Panel } from '../../ui/Panel.js';
import { Amounts } from './Amounts.js';
import { AskBoxes } from './AskBoxes.js';
import { DryingTest } from './DryingTest.js';
import { GrainStock } from './GrainStock.js';
import { HoldPanel } from './HoldPanel.js';
import {
  formFrom,
  type LineText,
  linesOfPlan,
  onHandBox,
  type PreparationForm,
  searchOf,
  startingForm,
  workOut,
} from './preparation-form.js';
import { Shopping } from './Shopping.js';
import { Steps } from './Steps.js';

/**
 * The batch calculator of the prep bench. Everything is worked out on this device; what it is asked stands in the address.
 */
export default function PreparationScreen({ farm }: { readonly farm: Farm }) {
  const week = useWeek(null);
  const planned = (week.data?.preparations ?? []).filter(({ day }) => day >= (week.data?.today ?? day));
  const stock = useGrainStock();
  const [, go] = useLocation();
  const search = new URLSearchParams(useSearch());
  const inStock = onHandBox(stock.data?.items ?? [], search.get('grain') ?? farm.settings.grain);
  const start = startingForm(farm, planned[0] ? linesOfPlan(planned[0], farm) : [], inStock);
  const form = formFrom(search, start);
  const change = (next: Partial<PreparationForm>) =>
    go(`/preparation?${searchOf({ ...form, ...next }, start)}`, { replace: true });
  const worked = workOut(form, farm);
  return (
    <>
      <header className="screen__head">
        <h1>{t('screen.preparation')}</h1>
      </header>
      <PlanChoice planned={planned} farm={farm} untouched={search.size === 0} onChoose={(lines) => change({ lines })} />
      <div className="prep">
        <Panel title={t('preparation.ask')}>
          <AskBoxes form={form} farm={farm} errors={worked.ok ? new Map() : worked.errors} onChange={change} />
        </Panel>
        <div className="stack">
          {worked.ok ? (
            <>
              <Amounts result={worked.result} wanted={worked.wanted} />
              <HoldPanel result={worked.result} wanted={worked.wanted} />
            </>
          ) : (
            <Notice tone="care" title={t('preparation.wrong')} live>
              <p>{worked.whole ?? t('preparation.wrongBoxes')}</p>
            </Notice>
          )}
        </div>
      </div>
      {worked.ok && <Shopping result={worked.result} form={form} inStock={inStock} onChange={change} />}
      <GrainStock grains={farm.grains} usual={farm.settings.grain} />
      <Steps soaked={form.soak === 'yes'} onChange={(soak) => change({ soak: soak ? 'yes' : 'no' })} />
      <DryingTest target={worked.ok ? worked.wanted.targetMoisture : null} />
      <Caution hazards={form.method === 'pressure' ? ['pressure', 'hotGlass', 'boiling'] : ['boiling', 'hotGlass']} />
    </>
  );
}

/** What the plan of this week wants prepared; a tap fills the boxes. */
function PlanChoice({
  planned,
  farm,
  untouched,
  onChoose,
}: {
  readonly planned: Week['preparations'];
  readonly farm: Farm;
  readonly untouched: boolean;
  readonly onChoose: (lines: readonly LineText[]) => void;
}) {
  if (planned.length === 0) return <p className="soft">{t('preparation.noPlan')}</p>;
  return (
    <div className="row">
      <p className="soft">{untouched ? t('preparation.filledFromPlan') : t('preparation.fromPlan')}</p>
      {planned.map((preparation) => (
        <Button key={preparation.benchDay} onClick={() => onChoose(linesOfPlan(preparation, farm))}>
          {t('preparation.ofPlan', {
            day: formatDay(preparation.benchDay),
            jars: preparation.jars.reduce((sum, { count }) => sum + count, 0),
          })}
        </Button>
      ))}
    </div>
  );
}
