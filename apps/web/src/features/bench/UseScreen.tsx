import type { DrawAmount, Jar } from '@jarfold/domain';
import { useCallback, useState } from 'react';
import { useSearch } from 'wouter';
import { t } from '../../messages/translate.js';
import type { RunFacts } from '../../offline/index.js';
import { formatDay, formatMass } from '../../ui/format/index.js';
import { BenchScreen } from './BenchScreen.js';
import { BigButton, Choices } from './BigButton.js';
import { useBench } from './bench-context.js';
import { JarPicker } from './JarPicker.js';
import { JarTile } from './JarTile.js';
import { jarFacts } from './jar-facts.js';
import { Proposal } from './Proposal.js';
import { SaveBar } from './SaveBar.js';
import { Stepper } from './Stepper.js';
import { useChosenJars } from './use-chosen-jars.js';
import { type ProposedJar, proposeForRun } from './which-jars.js';

/** Up to so many jars, each is asked how much was taken. */
const FEW = 3;

type Amounts = Readonly<Record<string, DrawAmount>>;

/** Jars into a bulk run, whole or in part. The tablet proposes which and says why; a person takes what they hold. */
export default function UseScreen() {
  const bench = useBench();
  const { farm, core, today, act } = bench;
  const search = new URLSearchParams(useSearch());
  const open = farm.runs.filter((run) => run.open && !run.order).sort((a, b) => (a.day < b.day ? -1 : 1));
  const [runId, setRunId] = useState<string | null>(search.get('run') ?? open[0]?.id ?? null);
  const [chosen, setChosen] = useChosenJars();
  const [amounts, setAmounts] = useState<Amounts>({});
  const [own, setOwn] = useState(false);
  const [amountsOpen, setAmountsOpen] = useState(false);
  const [spent, setSpent] = useState<readonly string[]>([]);
  const fits = useCallback((jar: Jar) => !jar.blank && jar.leftG > 0, []);
  const run = open.find(({ id }) => id === runId) ?? null;
  if (!run) {
    return (
      <BenchScreen title={t('command.useInRun')}>
        <p>{t('bench.use.noRun')}</p>
      </BenchScreen>
    );
  }
  const neededG = Number(search.get('grams') ?? run.targetG);
  const proposed = proposeForRun(farm, core.view, run, neededG, today);
  const jars = [...chosen].flatMap((id) => core.view.thing('jar', id) ?? []).filter(fits);
  const amountOf = (jar: Jar): DrawAmount => amounts[jar.id] ?? { by: 'all' };
  const take = (these: readonly ProposedJar[]) => {
    setChosen(new Set(these.map(({ facts }) => facts.jar.id)));
    setAmounts(Object.fromEntries(these.map(({ facts, grams }) => [facts.jar.id, amountFor(facts.jar, grams)])));
  };
  // Of many jars only those taken in part are asked about, unless a person wants to say more.
  const askedAbout = jars.filter((jar) => jars.length <= FEW || amountsOpen || amountOf(jar).by !== 'all');
  const save = async () => {
    const draws = jars.map((jar) => ({ jarId: jar.id, amount: amountOf(jar) }));
    if (!(await act({ kind: 'drawn_for_run', payload: { runId: run.id, draws } }))) return;
    setSpent(draws.map(({ jarId }) => jarId));
    setChosen(new Set());
    setOwn(false);
  };
  return (
    <BenchScreen title={t('command.useInRun')}>
      <RunChoice runs={open} runId={run.id} onChoose={setRunId} />
      <Leftovers jarIds={spent} />
      {proposed.length > 0 && (
        <Proposal
          title={t('bench.use.proposed', { mass: formatMass(Math.min(neededG, gramsOf(proposed))) })}
          why={t('bench.use.why')}
          jars={proposed.map((one) => ({ jar: one.facts.jar, words: whyWords(one) }))}
          chosen={chosen}
          onTap={(id) => take(proposed.filter(({ facts }) => facts.jar.id === id))}
          onTakeAll={() => take(proposed)}
          own={own}
          onOwn={setOwn}
        />
      )}
      {(own || proposed.length === 0) && <JarPicker chosen={chosen} onChange={setChosen} fits={fits} />}
      {jars.length > FEW && (
        <BigButton chosen={amountsOpen} onClick={() => setAmountsOpen(!amountsOpen)}>
          {t('command.setAmounts')}
        </BigButton>
      )}
      {askedAbout.map((jar) => (
        <AmountChoice
          key={jar.id}
          jar={jar}
          amount={amountOf(jar)}
          onChoose={(amount) => setAmounts({ ...amounts, [jar.id]: amount })}
        />
      ))}
      <SaveBar
        jars={jars}
        onClear={() => setChosen(new Set())}
        label={t('bench.do.use', { count: jars.length, run: run.name })}
        ready={jars.length > 0}
        missing={t('bench.save.noJars')}
        onSave={save}
      />
    </BenchScreen>
  );
}

function RunChoice({
  runs,
  runId,
  onChoose,
}: {
  readonly runs: readonly RunFacts[];
  readonly runId: string;
  readonly onChoose: (id: string) => void;
}) {
  return (
    <Choices
      label={t('bench.ask.run')}
      value={runId}
      choices={runs.slice(0, 8).map(({ id, name, day }) => ({ value: id, label: name, hint: formatDay(day) }))}
      onChoose={onChoose}
    />
  );
}

function AmountChoice({
  jar,
  amount,
  onChoose,
}: {
  readonly jar: Jar;
  readonly amount: DrawAmount;
  readonly onChoose: (amount: DrawAmount) => void;
}) {
  const spoken = [
    { value: 'all', label: t('amount.all') },
    { value: 'all_but_bottom', label: t('amount.allButBottom') },
    { value: 'half', label: t('amount.half') },
    { value: 'grams', label: t('amount.grams') },
  ] as const;
  return (
    <section className="amount">
      <Choices
        label={t('bench.use.amount', { code: jar.code, left: formatMass(jar.leftG) })}
        value={amount.by}
        choices={spoken}
        onChoose={(by) => onChoose(by === 'grams' ? { by, massG: jar.leftG } : { by })}
      />
      {amount.by === 'grams' && (
        <Stepper
          label={t('amount.grams')}
          unit={t('unit.g')}
          value={amount.massG}
          step={10}
          leap={100}
          min={1}
          max={jar.leftG}
          onChange={(massG) => onChoose({ by: 'grams', massG })}
        />
      )}
    </section>
  );
}

/** What is left in jars that were just used in part, and what may be done with it at once. */
function Leftovers({ jarIds }: { readonly jarIds: readonly string[] }) {
  const { core, farm, today, act } = useBench();
  const left = jarIds
    .flatMap((id) => core.view.thing('jar', id) ?? [])
    .filter(({ leftG, goneAs }) => leftG > 0 && goneAs === null);
  if (left.length === 0) return null;
  return (
    <section className="leftovers" aria-label={t('bench.use.leftovers')}>
      {left.map((jar) => (
        <div key={jar.id} className="row">
          <JarTile jar={jar} onTap={() => undefined} />
          <p>{t('bench.use.left', { code: jarFacts(farm, jar, today).jar.code, mass: formatMass(jar.leftG) })}</p>
          {!jar.keptAsMother && (
            <BigButton onClick={() => void act({ kind: 'mother_kept', payload: { jarIds: [jar.id] } })}>
              {t('command.keepAsMother')}
            </BigButton>
          )}
          <BigButton onClick={() => void act({ kind: 'emptied', payload: { jarIds: [jar.id] } })}>
            {t('command.empty')}
          </BigButton>
        </div>
      ))}
    </section>
  );
}

/** The whole jar when it is needed whole; the grams that are needed of the last one. */
function amountFor(jar: Jar, grams: number): DrawAmount {
  return grams >= jar.leftG ? { by: 'all' } : { by: 'grams', massG: Math.round(grams * 10) / 10 };
}

const gramsOf = (proposed: readonly ProposedJar[]) => proposed.reduce((sum, { grams }) => sum + grams, 0);

function whyWords({ facts, grams, why }: ProposedJar): string {
  const mass = formatMass(grams);
  const daysLeft = facts.life?.daysLeft ?? 0;
  return why === 'opened'
    ? t('bench.why.opened', { mass, days: daysLeft })
    : t('bench.why.expires', { mass, days: daysLeft });
}
