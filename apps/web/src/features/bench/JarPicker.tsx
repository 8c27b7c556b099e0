import type { Jar, Lot } from '@jarfold/domain';
import { useMemo, useState } from 'react';
import { t } from '../../messages/translate.js';
import { BenchSheet } from './BenchSheet.js';
import { BenchShelf } from './BenchShelf.js';
import { BigButton } from './BigButton.js';
import { useBench } from './bench-context.js';
import { CameraSheet } from './CameraSheet.js';
import { JarTile } from './JarTile.js';
import { jarsOnHand } from './jar-facts.js';
import { type RangeReading, readRange } from './jar-range.js';
import { shelvesInOrder } from './shelf-places.js';
import { useScanner } from './use-scanner.js';
import { useSteady } from './use-steady.js';

export interface JarPickerProps {
  readonly chosen: ReadonlySet<string>;
  readonly onChange: (chosen: ReadonlySet<string>) => void;
  /** Only jars this is true of can be chosen. */
  readonly fits?: (jar: Jar) => boolean;
}

type Source = { readonly by: 'shelf'; readonly id: string } | { readonly by: 'lot'; readonly id: string };
type Way = 'one' | 'from' | 'to';

const anyJar = () => true;

/** Choosing jars: on the drawn shelf, by lot, from one number to another, by scanner, camera or typing. */
export function JarPicker({ chosen, onChange, fits = anyJar }: JarPickerProps) {
  const { core, status } = useBench();
  const { view } = core;
  // biome-ignore lint/correctness/useExhaustiveDependencies: the view is one object whose version tells that it changed
  const jars = useMemo(() => jarsOnHand(view).filter(fits), [view, fits, status.viewVersion]);
  const [source, setSource] = useState<Source | null>(null);
  const listed = useMemo(() => (source?.by === 'lot' ? jarsOf(jars, source) : []), [jars, source]);
  const [way, setWay] = useState<Way>('one');
  const [from, setFrom] = useState<Jar | null>(null);
  const [sheet, setSheet] = useState<'camera' | 'type' | null>(null);
  const [problem, setProblem] = useState<RangeReading | null>(null);

  const add = (more: readonly Jar[]) => onChange(new Set([...chosen, ...more.filter(fits).map(({ id }) => id)]));
  const toggle = (jar: Jar) => {
    if (!fits(jar)) return;
    const next = new Set(chosen);
    if (!next.delete(jar.id)) next.add(jar.id);
    onChange(next);
  };
  const tap = useSteady((jar: Jar) => {
    if (way === 'one') return toggle(jar);
    if (way === 'from') {
      setFrom(jar);
      setWay('to');
      return add([jar]);
    }
    if (from) add(between(jars, from, jar));
    setFrom(null);
    setWay('one');
  });
  const read = (text: string) => {
    const lotCode = source?.by === 'lot' ? (view.thing('lot', source.id)?.code ?? null) : null;
    const reading = readRange(text, rangeWorld(view), lotCode);
    if (reading.kind === 'jars') add(reading.jars);
    setProblem(reading.kind === 'jars' ? null : reading);
    setSheet(null);
  };
  useScanner(read);

  return (
    <section className="picker" aria-label={t('bench.picker.label')}>
      <Sources jars={jars} source={source} onSource={setSource} />
      {source && (
        <div className="picker__ways">
          <BigButton chosen={way !== 'one'} onClick={() => setWay(way === 'one' ? 'from' : 'one')}>
            {t('command.fromTo')}
          </BigButton>
          <BigButton onClick={() => add(jarsOf(jars, source))}>{t('command.allOfThem')}</BigButton>
          <BigButton onClick={() => setSheet('type')}>{t('command.typeNumbers')}</BigButton>
          <BigButton onClick={() => setSheet('camera')}>{t('command.camera')}</BigButton>
        </div>
      )}
      <p className="picker__hint" role="status">
        {problem
          ? problemWords(problem)
          : t(way === 'one' ? 'bench.picker.tap' : way === 'from' ? 'bench.picker.first' : 'bench.picker.last')}
      </p>
      {source?.by === 'shelf' && <OneShelf id={source.id} chosen={chosen} onTap={tap} />}
      {source?.by === 'lot' && (
        <div className="tiles">
          {listed.map((jar) => (
            <JarTile key={jar.id} jar={jar} chosen={chosen.has(jar.id)} onTap={tap} />
          ))}
        </div>
      )}
      {sheet === 'camera' && <CameraSheet onCode={read} onClose={() => setSheet(null)} />}
      {sheet === 'type' && <TypeSheet onText={read} onClose={() => setSheet(null)} />}
    </section>
  );
}

function OneShelf({
  id,
  chosen,
  onTap,
}: {
  readonly id: string;
  readonly chosen: ReadonlySet<string>;
  readonly onTap: (jar: Jar) => void;
}) {
  const shelf = useBench().farm.shelves.find((one) => one.id === id);
  return shelf ? <BenchShelf shelf={shelf} chosen={chosen} onTap={onTap} /> : null;
}

/** The shelves that hold jars; the lots that have jars left, the newest first, are one tap further. What is chosen folds. */
function Sources({
  jars,
  source,
  onSource,
}: {
  readonly jars: readonly Jar[];
  readonly source: Source | null;
  readonly onSource: (source: Source) => void;
}) {
  const { farm, core } = useBench();
  const [open, setOpen] = useState<'shelves' | 'lots' | null>('shelves');
  const { view } = core;
  const lots = useMemo(() => lotsOf(jars, (id) => view.thing('lot', id)), [jars, view]);
  const shelves = useMemo(() => {
    const inUse = new Set(jars.map(({ place }) => place?.shelfId));
    return shelvesInOrder(farm).filter(({ id }) => inUse.has(id));
  }, [jars, farm]);
  const choose = (chosen: Source) => {
    onSource(chosen);
    setOpen(null);
  };
  if (jars.length === 0) return <p>{t('bench.picker.noJars')}</p>;
  const chosenName =
    source?.by === 'shelf'
      ? shelves.find(({ id }) => id === source.id)?.name
      : lots.find(({ lot }) => lot.id === source?.id)?.lot.code;
  return (
    <div className="sources">
      {open === null && chosenName !== undefined && <BigButton chosen>{chosenName}</BigButton>}
      {open === 'shelves' &&
        shelves.map(({ id, name, roomId }) => (
          <BigButton
            key={id}
            hint={farm.rooms.find((room) => room.id === roomId)?.name}
            onClick={() => choose({ by: 'shelf', id })}
          >
            {name}
          </BigButton>
        ))}
      {open === 'lots' &&
        lots.map(({ lot, count }) => (
          <BigButton key={lot.id} hint={t('text.jars', { count })} onClick={() => choose({ by: 'lot', id: lot.id })}>
            {lot.code}
          </BigButton>
        ))}
      {open !== 'shelves' && <BigButton onClick={() => setOpen('shelves')}>{t('command.byShelf')}</BigButton>}
      {open !== 'lots' && <BigButton onClick={() => setOpen('lots')}>{t('command.byLot')}</BigButton>}
    </div>
  );
}

function TypeSheet({ onText, onClose }: { readonly onText: (text: string) => void; readonly onClose: () => void }) {
  const [text, setText] = useState('');
  return (
    <BenchSheet title={t('command.typeNumbers')} onClose={onClose}>
      <form
        className="stack"
        onSubmit={(event) => {
          event.preventDefault();
          onText(text);
        }}
      >
        <label className="bench-field">
          {t('bench.type.label')}
          <input value={text} onChange={(event) => setText(event.target.value)} autoComplete="off" />
          <span className="bench-field__hint">{t('bench.type.hint')}</span>
        </label>
        <BigButton look="main" type="submit">
          {t('command.take')}
        </BigButton>
      </form>
    </BenchSheet>
  );
}

function rangeWorld(view: ReturnType<typeof useBench>['core']['view']) {
  return {
    jarWithCode: (code: string) => view.jarWithCode(code),
    jarsOfLot: (code: string) => {
      const lot = [...view.all('lot')].find((one) => one.code === code);
      return lot ? [...view.all('jar')].filter(({ lotId }) => lotId === lot.id) : [];
    },
  };
}

function jarsOf(jars: readonly Jar[], source: Source): readonly Jar[] {
  return source.by === 'shelf'
    ? jars.filter(({ place }) => place?.shelfId === source.id)
    : jars.filter(({ lotId }) => lotId === source.id).sort((a, b) => a.serial - b.serial);
}

/** Jars of one lot between two numbers; of two lots, just the two. */
function between(jars: readonly Jar[], one: Jar, other: Jar): readonly Jar[] {
  if (one.lotId !== other.lotId) return [one, other];
  const [low, high] = [Math.min(one.serial, other.serial), Math.max(one.serial, other.serial)];
  return jars.filter(({ lotId, serial }) => lotId === one.lotId && serial >= low && serial <= high);
}

function lotsOf(jars: readonly Jar[], lotById: (id: string) => Lot | undefined) {
  const counts = new Map<string, number>();
  for (const { lotId } of jars) counts.set(lotId, (counts.get(lotId) ?? 0) + 1);
  return [...counts]
    .flatMap(([id, count]) => {
      const lot = lotById(id);
      return lot ? [{ lot, count }] : [];
    })
    .sort((a, b) =>
      a.lot.madeOn < b.lot.madeOn ? 1 : a.lot.madeOn > b.lot.madeOn ? -1 : a.lot.code < b.lot.code ? -1 : 1,
    );
}

function problemWords(problem: RangeReading): string {
  if (problem.kind === 'missing') {
    return t('bench.type.missing', { lot: problem.lotCode, numbers: problem.numbers.join(', ') });
  }
  return t('bench.type.unknown', { text: problem.kind === 'unknown' ? problem.text : '' });
}
