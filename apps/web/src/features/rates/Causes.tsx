import type { ContaminationRates } from '@jarfold/contracts';
import { t } from '../../messages/translate.js';
import { DataTable } from '../../ui/DataTable.js';
import { formatCount, formatNumber, formatShare } from '../../ui/format/index.js';
import { Notice } from '../../ui/Notice.js';
import { Panel } from '../../ui/Panel.js';
import { estimateWords, reasonOf } from './estimate-words.js';
import { factorWords, VERDICT_WORDS } from './factor-words.js';

type Attribution = ContaminationRates['attribution'];
type Found = Extract<Attribution, { kind: 'attribution' }>;

/** Which strain, mother, batch, cycle, person, room or method explains an excess, all weighed at once. */
export function Causes({ attribution }: { readonly attribution: Attribution }) {
  return (
    <Panel title={t('rates.causes.title')}>
      {attribution.kind === 'attribution' ? (
        <FoundCauses found={attribution} />
      ) : (
        <p>{t('rates.causes.notEnough', { reason: reasonOf(attribution) })}</p>
      )}
    </Panel>
  );
}

function FoundCauses({ found }: { readonly found: Found }) {
  const { causes, levels, lots, jars, blanks, notEnoughData } = found;
  return (
    <>
      {causes.length === 0 && <p>{t('rates.causes.none')}</p>}
      {causes.map((cause) => (
        <Notice key={cause.sentence} tone="alarm">
          <p>{cause.sentence}</p>
          <p className="small">
            {t('rates.causes.chance', { share: formatShare(cause.falseDiscovery), members: cause.members.length })}
          </p>
        </Notice>
      ))}
      <p className="soft">{t('rates.causes.from', { lots, jars, blanks, untold: notEnoughData })}</p>
      <p className="soft small">{t('rates.causes.noBlame')}</p>
      {levels.length > 0 && (
        <details className="more">
          <summary>{t('rates.causes.table')}</summary>
          <DataTable
            caption={t('rates.causes.table')}
            rows={levels}
            rowKey={({ factor, level }) => `${factor} ${level}`}
            columns={[
              { key: 'level', head: t('column.level'), cell: ({ factor, label }) => `${factorWords(factor)} ${label}` },
              { key: 'verdict', head: t('column.verdict'), cell: ({ verdict }) => t(VERDICT_WORDS[verdict]) },
              {
                key: 'odds',
                head: t('column.odds'),
                numeric: true,
                cell: ({ oddsRatio }) => estimateWords(oddsRatio, formatNumber),
              },
              { key: 'lots', head: t('column.lots'), numeric: true, cell: (level) => formatCount(level.lots) },
              { key: 'jars', head: t('column.jars'), numeric: true, cell: (level) => formatCount(level.jars) },
              {
                key: 'bad',
                head: t('column.contaminated'),
                numeric: true,
                cell: ({ contaminated }) => formatCount(contaminated),
              },
              {
                key: 'tellable',
                head: t('column.tellable'),
                numeric: true,
                cell: ({ smallestTellable }) => (smallestTellable === null ? '' : formatNumber(smallestTellable)),
              },
            ]}
          />
        </details>
      )}
    </>
  );
}
