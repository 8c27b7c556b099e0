import type { Jar, JarDetail } from '@jarfold/contracts';
import { useJar } from '../../api/stock.js';
import { t } from '../../messages/translate.js';
import { LinkButton } from '../../ui/Button.js';
import { Caution } from '../../ui/Caution.js';
import { Glass } from '../../ui/drawing/Glass.js';
import { FRESHNESS_WORDS, lookOfState, STATE_WORDS } from '../../ui/drawing/jar-look.js';
import { entryWords } from '../../ui/entry-words.js';
import { formatDay, formatMass, formatMoment, formatShare } from '../../ui/format/index.js';
import { placeWords } from '../../ui/place-words.js';
import { QueryStates } from '../../ui/QueryStates.js';
import { SideSheet } from '../../ui/SideSheet.js';
import { Tape } from '../../ui/Tape.js';
import { PrintLabels } from '../labels/PrintLabels.js';
import { recallHref } from '../recall/recall-href.js';

/** One jar: how it stands, where it comes from, what was made from it, what happened to it. */
export function JarSheet({ jarId, onClose }: { readonly jarId: string; readonly onClose: () => void }) {
  const detail = useJar(jarId);
  return (
    <SideSheet title={detail.data?.jar.code ?? t('screen.jar')} onClose={onClose}>
      <QueryStates query={detail}>{(data) => <JarFacts detail={data} />}</QueryStates>
    </SideSheet>
  );
}

function JarFacts({ detail }: { readonly detail: JarDetail }) {
  const { jar, lotId, mothers, daughters, daughtersCount, entries } = detail;
  return (
    <>
      <div className="jar-head">
        <Glass size="large" {...lookOfJarDetail(jar)} />
        <div className="stack stack--tight">
          <Tape size="large">{jar.code}</Tape>
          <p className="jar-head__state">{t(STATE_WORDS[jar.state])}</p>
          <p>{t(FRESHNESS_WORDS[jar.freshness])}</p>
          {jar.keptAsMother && <p>{t('state.mother')}</p>}
          <div>
            <LinkButton href={recallHref({ jarId: jar.id })}>{t('command.recall')}</LinkButton>
          </div>
        </div>
      </div>
      <PrintLabels
        choices={[
          { words: 'command.printLabel', of: { jarIds: [jar.id] } },
          { words: 'command.printLotLabels', of: { lotId } },
        ]}
      />
      {jar.state === 'contaminated' && <Caution hazards={['mould']} />}
      <dl className="jar-facts">
        {jarFacts(detail).map(({ label, value }) => (
          <div key={label}>
            <dt>{label}</dt>
            <dd>{value}</dd>
          </div>
        ))}
      </dl>
      <Relatives title={t('jar.mothers')} relatives={mothers} none={t('jar.noMothers')} />
      <Relatives
        title={t('jar.daughters', { count: daughtersCount })}
        relatives={daughters}
        none={t('jar.noDaughters')}
      />
      <section className="stack stack--tight">
        <h3>{t('jar.log')}</h3>
        {entries.length === 0 && <p className="soft">{t('jar.noLog')}</p>}
        <ol className="plain stack stack--tight">
          {entries.map((entry) => (
            <li key={entry.entryId} className={entry.corrected ? 'log-entry log-entry--void' : 'log-entry'}>
              <span className="soft small">{formatMoment(entry.happenedAt)}</span>
              <br />
              {entryWords(entry.kind)}
              {entry.corrected && ` ${t('jar.corrected')}`}
            </li>
          ))}
        </ol>
      </section>
    </>
  );
}

function jarFacts({ jar, lotCode }: JarDetail): readonly { label: string; value: string }[] {
  return [
    { label: t('column.strain'), value: t('format.strain', { code: jar.strainCode, name: jar.strainName }) },
    { label: t('column.generation'), value: t('format.generation', { generation: jar.generation }) },
    { label: t('column.size'), value: jar.sizeName },
    { label: t('column.lot'), value: lotCode ?? t('text.none') },
    { label: t('column.place'), value: placeWords(jar.place) },
    { label: t('column.spawn'), value: formatMass(jar.gramsLeft) },
    {
      label: t('jar.colonised'),
      value: jar.shareColonised === null ? t('jar.neverChecked') : formatShare(jar.shareColonised),
    },
    { label: t('jar.madeOn'), value: formatDay(jar.madeOn) },
    ...(jar.ripeOn
      ? [{ label: jar.ripeExpected ? t('jar.ripeExpected') : t('jar.ripeOn'), value: formatDay(jar.ripeOn) }]
      : []),
    ...(jar.chilledOn ? [{ label: t('jar.chilledOn'), value: formatDay(jar.chilledOn) }] : []),
    ...(jar.openedOn ? [{ label: t('jar.openedOn'), value: formatDay(jar.openedOn) }] : []),
    ...(jar.expiresOn ? [{ label: t('jar.expiresOn'), value: formatDay(jar.expiresOn) }] : []),
  ];
}

function lookOfJarDetail(jar: Jar) {
  const look = lookOfState(jar.state);
  return jar.state === 'incubating' ? { ...look, colonised: jar.shareColonised ?? 0 } : look;
}

function Relatives({
  title,
  relatives,
  none,
}: {
  readonly title: string;
  readonly relatives: JarDetail['mothers'];
  readonly none: string;
}) {
  return (
    <section className="stack stack--tight">
      <h3>{title}</h3>
      {relatives.length === 0 ? (
        <p className="soft">{none}</p>
      ) : (
        <ul className="plain relatives">
          {relatives.map((relative) => (
            <li key={relative.jarId}>
              <Tape>{relative.code}</Tape> {t('format.generation', { generation: relative.generation })}
              <span className="soft"> {t(STATE_WORDS[relative.state])}</span>
            </li>
          ))}
        </ul>
      )}
    </section>
  );
}
