import type { RecallJson } from '@jarfold/contracts';
import { t } from '../../messages/translate.js';
import { ChartFigure } from '../../ui/chart/ChartFigure.js';
import { DataTable } from '../../ui/DataTable.js';
import { STATE_WORDS } from '../../ui/drawing/jar-look.js';
import { formatCount, formatMass } from '../../ui/format/index.js';
import { Notice } from '../../ui/Notice.js';
import { Panel } from '../../ui/Panel.js';

type Balance = RecallJson['balance'];

/** Every jar and every gram of what was asked for and what was made from it. */
export function BalancePanel({ balance }: { readonly balance: Balance }) {
  const { unbalanced, unaccountedG, byState } = balance;
  return (
    <Panel title={t('recall.balance')}>
      <p>{t('recall.balanceJars', { jars: balance.jars, present: balance.present, gone: balance.gone })}</p>
      <Bar balance={balance} />
      {unbalanced.length === 0 ? (
        <p>{t('recall.balanced')}</p>
      ) : (
        <Notice tone="alarm" title={t('recall.unbalanced', { mass: formatMass(unaccountedG) })}>
          <ul>
            {unbalanced.map(({ code, unaccountedG: grams }) => (
              <li key={code}>{t('recall.unbalancedJar', { code, mass: formatMass(grams) })}</li>
            ))}
          </ul>
        </Notice>
      )}
      <DataTable
        caption={t('recall.byState')}
        rows={byState}
        rowKey={({ state }) => state}
        columns={[
          { key: 'state', head: t('column.state'), cell: ({ state }) => stateWords(state) },
          { key: 'jars', head: t('column.jars'), numeric: true, cell: ({ jars }) => formatCount(jars) },
        ]}
      />
    </Panel>
  );
}

const stateWords = (state: string): string =>
  state in STATE_WORDS ? t(STATE_WORDS[state as keyof typeof STATE_WORDS]) : state;

const HEIGHT = 74;
const PARTS = [
  { key: 'drawnG', words: 'recall.part.drawn', look: 'balance__drawn' },
  { key: 'leftG', words: 'recall.part.left', look: 'balance__left' },
  { key: 'discardedG', words: 'recall.part.discarded', look: 'balance__discarded' },
] as const;

/** The grams made as one bar: drawn, left, discarded. The same stands in words beneath. */
function Bar({ balance }: { readonly balance: Balance }) {
  const made = Math.max(balance.madeG, 1e-9);
  const words = PARTS.map(({ key, words: word }) => t(word, { mass: formatMass(balance[key]) })).join(', ');
  return (
    <>
      <ChartFigure
        title={t('recall.balance')}
        desc={t('recall.made', { mass: formatMass(balance.madeG), words })}
        height={HEIGHT}
      >
        {(width) => {
          let x = 1;
          return PARTS.map(({ key, look }) => {
            const wide = (balance[key] / made) * (width - 2);
            const at = x;
            x += wide;
            return (
              <rect
                key={key}
                className={`balance__part ${look}`}
                x={at}
                y={8}
                width={Math.max(0, wide)}
                height={HEIGHT - 16}
              />
            );
          });
        }}
      </ChartFigure>
      <ul className="plain balance__key">
        {PARTS.map(({ key, words: word, look }) => (
          <li key={key}>
            <svg width="22" height="18" viewBox="0 0 22 18" aria-hidden="true" focusable="false">
              <rect className={`balance__part ${look}`} x="1" y="1" width="20" height="16" />
            </svg>
            {t(word, { mass: formatMass(balance[key]) })}
          </li>
        ))}
      </ul>
    </>
  );
}
