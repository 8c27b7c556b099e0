import type { Week } from '@jarfold/contracts';
import { type MessageKey, t } from '../../messages/translate.js';
import { LinkButton } from '../../ui/Button.js';
import { Glass } from '../../ui/drawing/Glass.js';
import { formatDay, formatMass } from '../../ui/format/index.js';
import { Panel } from '../../ui/Panel.js';
import { placeWords } from '../../ui/place-words.js';
import { Tape } from '../../ui/Tape.js';
import { limitWords } from './limit-words.js';

/** What keeps the plan from being whole: runs without enough spawn, jars nobody will use, wishes no plan can honour. */
export function InTheWay({ week }: { readonly week: Week }) {
  return (
    <aside id="in-the-way" className="stack" tabIndex={-1} aria-label={t('week.inTheWay')}>
      <Panel title={t('week.shortages')}>
        {week.shortages.length === 0 ? (
          <p className="soft">{t('week.noShortages')}</p>
        ) : (
          <ul className="plain stack">
            {week.shortages.map((shortage) => (
              <Shortage key={shortage.run.id} shortage={shortage} />
            ))}
          </ul>
        )}
      </Panel>
      <Panel title={t('week.stranded')}>
        {week.stranded.length === 0 ? (
          <p className="soft">{t('week.noStranded')}</p>
        ) : (
          <>
            <p className="soft">{t('week.strandedHint')}</p>
            <ul className="plain stack stack--tight">
              {week.stranded.map((jar) => (
                <li key={jar.code} className="stranded">
                  <Glass size="small" colonised={1} mark="stranded" />
                  <span>
                    <Tape>{jar.code}</Tape> {formatMass(jar.grams)}
                    <span className="soft"> {placeWords(jar.place)}</span>
                    <br />
                    {t('week.strandedUntil', { day: formatDay(jar.expires) })}
                  </span>
                </li>
              ))}
            </ul>
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

const KIND_WORDS = {
  'below-minimum': 'week.shortage.belowMinimum',
  'below-target': 'week.shortage.belowTarget',
} as const satisfies Record<string, MessageKey>;

function Shortage({ shortage }: { readonly shortage: Week['shortages'][number] }) {
  const words = limitWords(shortage.limit, shortage.limitWhere);
  return (
    <li className={`shortage shortage--${shortage.kind}`}>
      <h3>
        {shortage.run.name} <span className="soft">{formatDay(shortage.run.day)}</span>
      </h3>
      <p>
        <strong>{t(KIND_WORDS[shortage.kind], { mass: formatMass(shortage.shortGrams) })}</strong>
      </p>
      {shortage.limit && <p>{words.why}</p>}
      {shortage.limitMessage && <p className="soft">{shortage.limitMessage}</p>}
      {shortage.limit && <p>{words.lift}</p>}
      <div>
        <LinkButton href={words.href}>{t('week.shortage.open')}</LinkButton>
      </div>
    </li>
  );
}
