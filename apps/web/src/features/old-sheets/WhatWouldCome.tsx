import type { OldSheetsPreview } from '@jarfold/contracts';
import { markedSheetAddress } from '../../api/old-sheets.js';
import { t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { DataTable } from '../../ui/DataTable.js';
import { Panel } from '../../ui/Panel.js';
import { WORKED_OUT_WORDS } from './field-words.js';

const WHY = {
  total: 'total',
  'repeated-headings': 'repeated',
  'line-of-text': 'line',
  'word-left-out': 'word',
} as const;

/** What would come of the file: counts, what is worked out, left out or refused, and the word to bring it in. */
export function WhatWouldCome({
  preview,
  busy,
  onBringIn,
}: {
  readonly preview: OldSheetsPreview;
  readonly busy: boolean;
  readonly onBringIn: (withoutRefused: boolean) => void;
}) {
  const { counts, questions, leftOut, workedOut } = preview;
  const { lots, jars, runs, harvests, strains, sizes, rooms } = counts;
  const something = lots + runs + harvests > 0;
  return (
    <Panel title={t('oldSheets.result')}>
      <p className="old-sheets__result" role="status">
        {something ? t('oldSheets.wouldBe', { lots, jars, runs, harvests }) : t('oldSheets.nothingYet')}
      </p>
      {strains + sizes + rooms > 0 && <p>{t('oldSheets.alsoMade', { strains, sizes, rooms })}</p>}
      {jars > 0 && <p className="soft">{t('oldSheets.rates')}</p>}
      {counts.already > 0 && <p>{t('oldSheets.alreadyHere', { count: counts.already })}</p>}
      <ul className="plain">
        {Object.entries(workedOut).map(([rule, count]) => {
          const key = WORKED_OUT_WORDS[rule];
          return key === undefined ? null : <li key={rule}>{t(key, { count })}</li>;
        })}
      </ul>
      {leftOut.length > 0 && (
        <details className="old-sheets__left-out">
          <summary>{t('oldSheets.leftOut', { count: counts.leftOut })}</summary>
          <ul>
            {leftOut.map(({ sheet, row, why, shows }) => (
              <li key={`${sheet}/${row}/${shows}`}>
                {t('oldSheets.leftOutRow', { sheet, row, why: WHY[why], shows })}
              </li>
            ))}
          </ul>
        </details>
      )}
      {counts.refused > 0 && <Refused preview={preview} />}
      {something && questions.length === 0 && (
        <div>
          <Button look="main" busy={busy} onClick={() => onBringIn(counts.refused > 0)}>
            {t(counts.refused > 0 ? 'command.bringInRest' : 'command.bringIn')}
          </Button>
        </div>
      )}
    </Panel>
  );
}

function Refused({ preview }: { readonly preview: OldSheetsPreview }) {
  const { refused, counts } = preview;
  return (
    <>
      <p>
        {t('oldSheets.refused', { count: counts.refused })} {t('oldSheets.refusedHint')}
      </p>
      <DataTable
        caption={t('oldSheets.refusedTable')}
        rows={refused}
        rowKey={({ sheet, cell, rule }) => [sheet, cell, rule].join('/')}
        columns={[
          {
            key: 'cell',
            head: t('column.sheetCell'),
            cell: ({ sheet, cell }) => [sheet, cell].filter(Boolean).join('!'),
          },
          { key: 'value', head: t('column.sheetValue'), cell: ({ value }) => value },
          { key: 'why', head: t('column.whyNot'), prose: true, cell: ({ rule, advice }) => `${rule} ${advice}` },
        ]}
      />
      {preview.canBeMarked && (
        <p>
          <a className="button button--plain" href={markedSheetAddress(preview.import.id)} download>
            {t('command.markedCopy')}
          </a>
        </p>
      )}
    </>
  );
}
