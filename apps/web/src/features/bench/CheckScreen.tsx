import type { FindingKind, Jar } from '@jarfold/domain';
import { useState } from 'react';
import { t } from '../../messages/translate.js';
import type { BenchAction } from '../../offline/index.js';
import { Caution } from '../../ui/Caution.js';
import { Glass } from '../../ui/drawing/Glass.js';
import { BenchScreen } from './BenchScreen.js';
import { BenchSheet } from './BenchSheet.js';
import { BenchShelf } from './BenchShelf.js';
import { BigButton, Choices } from './BigButton.js';
import { useBench } from './bench-context.js';
import { FindingGuide, findingWords } from './FindingGuide.js';
import { jarWords, tapeWords } from './JarTile.js';
import { jarFacts } from './jar-facts.js';
import { Keypad } from './Keypad.js';
import { shelvesInOrder } from './shelf-places.js';
import { useScanner } from './use-scanner.js';
import { useSteady } from './use-steady.js';

/** What was seen in a jar. */
type Seen =
  | { readonly kind: 'share'; readonly share: number; readonly ripe: boolean }
  | { readonly kind: 'weighed'; readonly netG: number }
  | { readonly kind: 'finding'; readonly finding: FindingKind; readonly sure: boolean };

/** No container a person lifts at the bench holds more. */
const MOST_NET_G = 50_000;
const SHARES = [0, 0.25, 0.5, 0.75] as const;

/** Walking a shelf: tap a jar, tap what is seen. With "same again" the next jars take one tap each. */
export default function CheckScreen() {
  const { farm, core, act } = useBench();
  const withJars = shelvesInOrder(farm).filter(({ id }) => core.view.countOnShelf(id) > 0);
  const [shelfId, setShelfId] = useState<string | null>(withJars[0]?.id ?? null);
  const [jar, setJar] = useState<Jar | null>(null);
  const [lastSeen, setLastSeen] = useState<Seen | null>(null);
  const [again, setAgain] = useState(false);
  useScanner((code) => {
    const found = core.view.jarWithCode(code);
    if (found && found.goneAs === null) setJar(found);
  });
  const shelf = farm.shelves.find(({ id }) => id === shelfId);

  const note = async (seenJar: Jar, seen: Seen) => {
    if (!(await act(actionOf(seenJar, seen)))) return;
    // A weight is one jar's own: it is never said again of the next.
    if (seen.kind !== 'weighed') setLastSeen(seen);
    setJar(null);
  };
  const tap = useSteady((tapped: Jar) => (again && lastSeen ? void note(tapped, lastSeen) : setJar(tapped)));
  return (
    <BenchScreen title={t('command.check')}>
      {withJars.length === 0 && <p>{t('bench.picker.noJars')}</p>}
      {withJars.length > 1 && (
        <Choices
          label={t('bench.ask.whichShelf')}
          value={shelfId}
          choices={withJars.map(({ id, name, roomId }) => ({
            value: id,
            label: name,
            hint: farm.rooms.find((room) => room.id === roomId)?.name,
          }))}
          onChoose={setShelfId}
        />
      )}
      {lastSeen && (
        <BigButton chosen={again} onClick={() => setAgain(!again)} hint={seenWords(lastSeen)}>
          {t('command.sameAgain')}
        </BigButton>
      )}
      <p className="picker__hint">{t(again ? 'bench.check.again' : 'bench.check.tap')}</p>
      {shelf && <BenchShelf shelf={shelf} onTap={tap} />}
      {jar && <SeenSheet jar={jar} onSeen={(seen) => note(jar, seen)} onClose={() => setJar(null)} />}
    </BenchScreen>
  );
}

function SeenSheet({
  jar,
  onSeen,
  onClose,
}: {
  readonly jar: Jar;
  readonly onSeen: (seen: Seen) => void;
  readonly onClose: () => void;
}) {
  const { farm, today } = useBench();
  const [findings, setFindings] = useState(false);
  const [sure, setSure] = useState(true);
  const [weighing, setWeighing] = useState(false);
  const facts = jarFacts(farm, jar, today);
  return (
    <BenchSheet title={tapeWords(facts)} onClose={onClose}>
      <p>{jarWords(facts)}</p>
      {findings ? (
        <>
          <Choices
            label={t('bench.ask.sure')}
            value={sure}
            choices={[
              { value: true, label: t('bench.sure.yes') },
              { value: false, label: t('bench.sure.no') },
            ]}
            onChoose={setSure}
          />
          <FindingGuide value={null} onChoose={(finding) => onSeen({ kind: 'finding', finding, sure })} />
          <Caution hazards={['mould']} />
        </>
      ) : (
        <fieldset className="choices">
          <legend>{t('bench.check.howWhite')}</legend>
          <div className="choices__grid choices__grid--seen">
            {SHARES.map((share) => (
              <BigButton
                key={share}
                picture={<Glass colonised={share} size="shelf" />}
                onClick={() => onSeen({ kind: 'share', share, ripe: false })}
              >
                {t('bench.check.share', { percent: share * 100 })}
              </BigButton>
            ))}
            <BigButton
              picture={<Glass colonised={1} size="shelf" />}
              onClick={() => onSeen({ kind: 'share', share: 1, ripe: false })}
            >
              {t('bench.check.allWhite')}
            </BigButton>
            <BigButton
              picture={<Glass colonised={1} mark="ripe" size="shelf" />}
              onClick={() => onSeen({ kind: 'share', share: 1, ripe: true })}
            >
              {t('state.ripe')}
            </BigButton>
            <BigButton
              look="alarm"
              picture={<Glass colonised={0.5} mark="contaminated" size="shelf" />}
              onClick={() => setFindings(true)}
            >
              {t('command.finding')}
            </BigButton>
            <BigButton hint={t('bench.check.weighHint')} onClick={() => setWeighing(true)}>
              {t('command.weigh')}
            </BigButton>
          </div>
        </fieldset>
      )}
      {weighing && (
        <Keypad
          title={t('bench.check.weighTitle', { code: jar.code })}
          unit={t('unit.g')}
          max={MOST_NET_G}
          onClose={() => setWeighing(false)}
          onDone={(netG) => onSeen({ kind: 'weighed', netG })}
        />
      )}
    </BenchSheet>
  );
}

function actionOf(jar: Jar, seen: Seen): BenchAction {
  if (seen.kind === 'finding') {
    return { kind: 'contamination_found', payload: { jarIds: [jar.id], finding: seen.finding, sure: seen.sure } };
  }
  if (seen.kind === 'weighed') return { kind: 'checked', payload: { jars: [{ jarId: jar.id, netG: seen.netG }] } };
  // All white is not ripe yet: grown through and settled is. Only the word ripe says so.
  const { share, ripe } = seen;
  return { kind: 'checked', payload: { jars: [{ jarId: jar.id, colonisedShare: share, ripe }] } };
}

function seenWords(seen: Seen): string {
  if (seen.kind === 'finding') return findingWords(seen.finding);
  if (seen.kind === 'weighed') return t('bench.step.value', { value: seen.netG, unit: t('unit.g') });
  if (seen.ripe) return t('state.ripe');
  return seen.share === 1 ? t('bench.check.allWhite') : t('bench.check.share', { percent: seen.share * 100 });
}
