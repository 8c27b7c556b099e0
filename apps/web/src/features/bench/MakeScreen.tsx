import type { DrawAmount, Jar } from '@jarfold/domain';
import { useCallback, useMemo, useState } from 'react';
import { useSearch } from 'wouter';
import { type MessageKey, t } from '../../messages/translate.js';
import type { SizeFacts } from '../../offline/index.js';
import { Caution } from '../../ui/Caution.js';
import { formatMass } from '../../ui/format/index.js';
import { BenchScreen } from './BenchScreen.js';
import { BigButton, Choices } from './BigButton.js';
import { useBench } from './bench-context.js';
import { JarPicker } from './JarPicker.js';
import { JarTile } from './JarTile.js';
import { batchOfCycle, cyclesWaiting, type LotDraft, lotAction, type NewLotKind } from './new-lot.js';
import { SaveBar } from './SaveBar.js';
import { Stepper } from './Stepper.js';
import { placesFor, shelvesInOrder } from './shelf-places.js';
import { useChosenJars } from './use-chosen-jars.js';
import { proposeMothers } from './which-jars.js';

const MOST_JARS = 500;
const TITLES = {
  inoculate: { title: 'command.inoculate', doing: 'bench.do.inoculate' },
  blanks: { title: 'command.keepBlanks', doing: 'bench.do.blanks' },
  receive: { title: 'command.receive', doing: 'bench.do.receive' },
  culture: { title: 'command.makeCulture', doing: 'bench.do.culture' },
} as const satisfies Record<NewLotKind, { title: MessageKey; doing: MessageKey }>;

/** Jars that come into being together. A job of the plan fills the screen in; then it is one tap to save. */
export default function MakeScreen({ kind }: { readonly kind: NewLotKind }) {
  const bench = useBench();
  const { farm, core, act, person } = bench;
  const { view } = core;
  const search = new URLSearchParams(useSearch());
  const strains = farm.strains.filter(({ archived }) => !archived);
  const sizes = useMemo(() => sizesFor(kind, farm.sizes, view.all('jar')), [kind, farm.sizes, view]);
  const shelves = shelvesInOrder(farm);
  const [strainId, setStrainId] = useState(
    search.get('strain') ?? (strains.length === 1 ? (strains[0]?.id ?? null) : null),
  );
  const [sizeId, setSizeId] = useState(search.get('size') ?? sizes[0]?.id ?? null);
  const [count, setCount] = useState(Number(search.get('count') ?? (kind === 'blanks' ? 1 : 12)));
  const [motherIds, setMotherIds] = useChosenJars();
  const [amount, setAmount] = useState<DrawAmount['by']>('all');
  const [shelfId, setShelfId] = useState(
    shelves.find(({ roomId }) => isIncubation(farm, roomId))?.id ?? shelves[0]?.id ?? null,
  );
  const [received, setReceived] = useState<ReceivedWords>({ generation: 1, supplier: '', ripe: true });
  const [cycleChosen, setCycle] = useState<string | null | undefined>(undefined);
  const [staffId, setStaffId] = useState(person.staffId);
  const [round, setRound] = useState(0);
  // biome-ignore lint/correctness/useExhaustiveDependencies: a new round is a new lot with new ids
  const ids = useMemo(
    () => ({ lotId: core.newId(), jarIds: Array.from({ length: MOST_JARS }, () => core.newId()) }),
    [core, round],
  );

  const size = sizes.find(({ id }) => id === sizeId) ?? null;
  const atTheFlame = kind === 'inoculate' || kind === 'culture';
  const needsLoad = kind === 'inoculate' || kind === 'blanks';
  const cycles = needsLoad ? cyclesWaiting(view, sizeId) : [];
  const cycleId = cycleChosen === undefined ? (cycles[0]?.cycle.id ?? null) : cycleChosen;
  const shelf = shelves.find(({ id }) => id === shelfId);
  const places = shelf ? placesFor(shelf, view.jarsOnShelf(shelf.id), count) : [];
  const mothers = [...motherIds].flatMap((id) => view.thing('jar', id) ?? []);
  const draft: LotDraft = { kind, strainId, sizeId, count, mothers, amount, cycleId, places, ...received };
  const action = lotAction(draft, size, ids, needsLoad ? batchOfCycle(view, cycleId, sizeId) : null);
  const save = async () => {
    if (!action || !(await act(action, staffId))) return;
    setRound(round + 1);
    setMotherIds(new Set());
  };
  return (
    <BenchScreen title={t(TITLES[kind].title)}>
      {kind !== 'blanks' && strains.length > 1 && (
        <Choices
          label={t('bench.ask.strain')}
          value={strainId}
          choices={strains.map(({ id, shortCode, name }) => ({ value: id, label: shortCode, hint: name }))}
          onChoose={(id) => {
            setStrainId(id);
            setMotherIds(new Set());
          }}
        />
      )}
      {atTheFlame && strainId && (
        <Mothers strainId={strainId} chosen={motherIds} onChange={setMotherIds} needed={kind === 'inoculate'} />
      )}
      {kind === 'inoculate' && mothers.length > 0 && (
        <Choices
          label={t('bench.make.amount', { left: formatMass(mothers.reduce((sum, { leftG }) => sum + leftG, 0)) })}
          value={amount}
          choices={[
            { value: 'all', label: t('amount.all') },
            { value: 'all_but_bottom', label: t('amount.allButBottom') },
            { value: 'half', label: t('amount.half') },
          ]}
          onChoose={setAmount}
        />
      )}
      {sizes.length > 1 && (
        <Choices
          label={t('bench.ask.size')}
          value={sizeId}
          choices={sizes.map(({ id, name }) => ({ value: id, label: name }))}
          onChoose={setSizeId}
        />
      )}
      <Stepper
        label={t('bench.ask.howMany')}
        unit={t('unit.jars')}
        value={count}
        leap={10}
        min={1}
        max={MOST_JARS}
        onChange={(value) => setCount(Math.round(value))}
      />
      {kind === 'receive' && <Received value={received} onChange={setReceived} />}
      {needsLoad && (
        <Choices
          label={t('bench.ask.cycle')}
          value={cycleId}
          choices={[
            ...cycles.map(({ cycle, waiting }) => ({
              value: cycle.id as string | null,
              label: cycle.code,
              hint: t('bench.cycle.waiting', { count: waiting }),
            })),
            { value: null, label: t('bench.cycle.notSaid') },
          ]}
          onChoose={setCycle}
        />
      )}
      <Choices
        label={t('bench.ask.shelf')}
        value={shelfId}
        choices={shelves.map(({ id, name, rows, placesPerRow }) => ({
          value: id,
          label: name,
          hint: t('bench.shelf.free', { free: Math.max(0, rows * placesPerRow - view.countOnShelf(id)) }),
        }))}
        onChoose={setShelfId}
      />
      {atTheFlame && <Who staffId={staffId} onChoose={setStaffId} />}
      {atTheFlame && <Caution hazards={['flame']} />}
      <SaveBar
        jars={mothers}
        label={t(TITLES[kind].doing, { count })}
        ready={action !== null}
        missing={t(missingOf(draft))}
        onSave={save}
      />
    </BenchScreen>
  );
}

/** The first question that is still open, in the words it is asked in. */
function missingOf({ kind, strainId, sizeId, mothers }: LotDraft): MessageKey {
  if (kind !== 'blanks' && strainId === null) return 'bench.ask.strain';
  if (kind === 'inoculate' && mothers.length === 0) return 'bench.make.noMother';
  return sizeId === null ? 'bench.ask.size' : 'bench.save.missing';
}

/** Whose hands they were, when one taps for another at a shared tablet: contamination is judged by it too. */
function Who({ staffId, onChoose }: { readonly staffId: string; readonly onChoose: (id: string) => void }) {
  const { farm, device } = useBench();
  if (device === null || farm.staff.length < 2) return null;
  return (
    <Choices
      label={t('bench.ask.who')}
      value={staffId}
      choices={farm.staff.map(({ id, name }) => ({ value: id, label: name }))}
      onChoose={onChoose}
    />
  );
}

type ReceivedWords = Pick<LotDraft, 'generation' | 'supplier' | 'ripe'>;

/** What the sender's label says. */
function Received({
  value,
  onChange,
}: {
  readonly value: ReceivedWords;
  readonly onChange: (value: ReceivedWords) => void;
}) {
  return (
    <>
      <Stepper
        label={t('column.generation')}
        unit=""
        value={value.generation}
        max={20}
        onChange={(generation) => onChange({ ...value, generation: Math.round(generation) })}
      />
      <Choices
        label={t('bench.ask.ripe')}
        value={value.ripe}
        choices={[
          { value: true, label: t('state.ripe') },
          { value: false, label: t('state.incubating') },
        ]}
        onChoose={(ripe) => onChange({ ...value, ripe })}
      />
      <label className="bench-field">
        {t('field.supplier')}
        <input
          value={value.supplier}
          onChange={(event) => onChange({ ...value, supplier: event.target.value })}
          maxLength={120}
        />
      </label>
    </>
  );
}

/** Mothers the tablet would take, in order; any other ripe jar of the strain may be taken instead. */
function Mothers({
  strainId,
  chosen,
  onChange,
  needed,
}: {
  readonly strainId: string;
  readonly chosen: ReadonlySet<string>;
  readonly onChange: (chosen: ReadonlySet<string>) => void;
  readonly needed: boolean;
}) {
  const { farm, core, today } = useBench();
  const [others, setOthers] = useState(false);
  const fits = useCallback((jar: Jar) => jar.strainId === strainId && !jar.blank && jar.leftG > 0, [strainId]);
  const proposed = proposeMothers(farm, core.view, strainId, today).slice(0, 6);
  const toggle = ({ id }: Jar) => {
    const next = new Set(chosen);
    if (!next.delete(id)) next.add(id);
    onChange(next);
  };
  return (
    <section className="proposal">
      <h2>{t(needed ? 'bench.make.mothers' : 'bench.make.source')}</h2>
      {proposed.length === 0 && <p>{t('bench.make.noneRipe')}</p>}
      <div className="tiles">
        {proposed.map(({ jar }) => (
          <JarTile key={jar.id} jar={jar} chosen={chosen.has(jar.id)} onTap={toggle} />
        ))}
        <BigButton chosen={others} onClick={() => setOthers(!others)}>
          {t('command.takeOthers')}
        </BigButton>
      </div>
      {others && <JarPicker chosen={chosen} onChange={onChange} fits={fits} />}
    </section>
  );
}

/**
 * What a lot of this kind is usually made in comes first: plates for cultures, grain jars for the rest; among those the
 * size of which the farm has most.
 */
function sizesFor(kind: NewLotKind, sizes: readonly SizeFacts[], jars: Iterable<Jar>): readonly SizeFacts[] {
  const had = new Map<string, number>();
  for (const { sizeId } of jars) had.set(sizeId, (had.get(sizeId) ?? 0) + 1);
  const usual = ({ carrier }: SizeFacts) => Number((carrier === 'grain') === (kind !== 'culture'));
  const known = ({ id }: SizeFacts) => had.get(id) ?? 0;
  return sizes.filter(({ archived }) => !archived).sort((a, b) => usual(b) - usual(a) || known(b) - known(a));
}

function isIncubation(farm: ReturnType<typeof useBench>['farm'], roomId: string): boolean {
  return farm.rooms.some(({ id, kind }) => id === roomId && kind === 'incubation');
}
