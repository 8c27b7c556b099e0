import type { Week } from '@jarfold/contracts';
import { t } from '../../messages/translate.js';
import { LinkButton } from '../../ui/Button.js';
import { Glass } from '../../ui/drawing/Glass.js';
import { formatDay, formatMass } from '../../ui/format/index.js';
import { Panel } from '../../ui/Panel.js';
import { placeWords } from '../../ui/place-words.js';
import { Tape } from '../../ui/Tape.js';
import { gravestFirst } from './gravest-first.js';
import { limitWords, planDetail } from './limit-words.js';
import { shortageWords } from './order-words.js';
import { type StrandedJars, strandedGroups } from './stranded-groups.js';

/** What keeps the plan from being whole: runs without enough spawn, jars nobody will use, wishes no plan can honour. */
export function InTheWay({ week }: { readonly week: Week }) {
  return (
    <aside id="in-the-way" className="stack" tabIndex={-1} aria-label={t('week.inTheWay')}>
      <Panel title={t('week.shortages')}>
        {week.shortages.length === 0 ? (
          <p className="soft">{t('week.noShortages')}</p>
        ) : (
          <Shortages shortages={gravestFirst(week.shortages)} />
        )}
      </Panel>
      <Panel title={t('week.stranded')}>
        {week.stranded.length === 0 ? (
          <p className="soft">{t('week.noStranded')}</p>
        ) : (
          <>
            <p className="soft">{t('week.strandedHint')}</p>
            <ul className="plain stack">
              {strandedGroups(week.stranded)
                .slice(0, SHOWN_AT_FIRST)
                .map((group) => (
                  <StrandedGroup key={group.key} group={group} />
                ))}
            </ul>
            <MoreStranded groups={strandedGroups(week.stranded).slice(SHOWN_AT_FIRST)} />
          </>
        )}
      </Panel>
      {week.impossible.length > 0 && (
        <Panel title={t('week.impossible')}>
          <ul className="stack stack--tight">
            {week.impossible.map((item) => (
              <li key={`${item.code} ${item.subject}`}>{item.message}</li>
            ))}
          </ul>
        </Panel>
      )}
    </aside>
  );
}

/** A season's plan can fall short in dozens of places: what matters first is shown, the rest is folded away. */
const SHOWN_AT_FIRST = 5;

function Shortages({ shortages }: { readonly shortages: Week['shortages'] }) {
  const rest = shortages.slice(SHOWN_AT_FIRST);
  return (
    <>
      <ShortageList shortages={shortages.slice(0, SHOWN_AT_FIRST)} />
      {rest.length > 0 && (
        <details className="more">
          <summary>{t('week.moreShortages', { count: rest.length })}</summary>
          <ShortageList shortages={rest} />
        </details>
      )}
    </>
  );
}

function ShortageList({ shortages }: { readonly shortages: Week['shortages'] }) {
  return (
    <ul className="plain stack">
      {shortages.map((shortage) => (
        <Shortage key={shortage.run.id} shortage={shortage} />
      ))}
    </ul>
  );
}

function MoreStranded({ groups }: { readonly groups: readonly StrandedJars[] }) {
  if (groups.length === 0) return null;
  return (
    <details className="more">
      <summary>{t('week.moreStranded', { count: groups.reduce((sum, { jars }) => sum + jars.length, 0) })}</summary>
      <ul className="plain stack">
        {groups.map((group) => (
          <StrandedGroup key={group.key} group={group} />
        ))}
      </ul>
    </details>
  );
}

/** Jars of one lot that get too old on one day, and where they stand. */
function StrandedGroup({ group }: { readonly group: StrandedJars }) {
  return (
    <li className="stranded">
      <Glass size="small" colonised={1} mark="stranded" />
      <div className="stack stack--tight">
        <p>
          <Tape>{group.name}</Tape>{' '}
          {t('week.strandedCount', { count: group.jars.length, mass: formatMass(group.grams) })}
          <br />
          {t('week.strandedUntil', { day: formatDay(group.expires) })}
        </p>
        {group.jars.length === 1 ? (
          <p className="soft">{placeWords(group.jars[0]?.place ?? null)}</p>
        ) : (
          <details className="more">
            <summary>{t('week.strandedWhere')}</summary>
            <ul className="plain facts">
              {group.jars.map((jar) => (
                <li key={jar.code}>
                  <span className="code">{jar.code}</span> <span className="soft">{placeWords(jar.place)}</span>
                </li>
              ))}
            </ul>
          </details>
        )}
      </div>
    </li>
  );
}

function Shortage({ shortage }: { readonly shortage: Week['shortages'][number] }) {
  const { run, kind, limit } = shortage;
  const words = limit ? limitWords(limit, shortage.limitWhere) : null;
  const detail = planDetail(limit, shortage.limitMessage);
  return (
    <li className={`shortage shortage--${kind}`}>
      <h3>
        {run.name} <span className="soft">{formatDay(run.day)}</span>
      </h3>
      <p>
        <strong>{shortageWords(shortage)}</strong>
      </p>
      {words && <p>{words.why}</p>}
      {detail && <p className="soft">{detail}</p>}
      {words && <p>{words.lift}</p>}
      <div>
        <LinkButton href={words?.href ?? '/runs'}>{t('week.shortage.open')}</LinkButton>
      </div>
    </li>
  );
}
