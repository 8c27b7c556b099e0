import type { Farm, FileImport, OldSheetsPreview, TableMappingJson } from '@jarfold/contracts';
import { type WordField, type WordMeaning, wordKey } from '@jarfold/domain';
import { useStopImport } from '../../api/files-under-way.js';
import { useBringIn, useTakeBack, useUnderstandOldSheet } from '../../api/old-sheets.js';
import { t } from '../../messages/translate.js';
import { Button, LinkButton } from '../../ui/Button.js';
import { Failure } from '../../ui/Failure.js';
import { Notice } from '../../ui/Notice.js';
import { Waiting } from '../../ui/Waiting.js';
import { ProblemTable } from '../workbooks/ProblemTable.js';
import { UnderWay } from '../workbooks/UnderWay.js';
import { IMPORT_STATE_WORDS } from './field-words.js';
import { OpenQuestions } from './OpenQuestions.js';
import { TableCard } from './TableCard.js';
import { WhatWouldCome } from './WhatWouldCome.js';

interface SheetProps {
  readonly farm: Farm;
  readonly preview: OldSheetsPreview;
  /** The file as it is this moment; its preview is older while the worker is at it. */
  readonly now: FileImport;
}

/** One file in one of its states: unreadable, asked about, under way, in the farm. */
export function SheetInHand({ farm, preview, now }: SheetProps) {
  if (preview.problems.length > 0) {
    return (
      <Notice tone="care" title={t('oldSheets.unreadable', { file: now.fileName })} live>
        <ProblemTable problems={preview.problems} />
      </Notice>
    );
  }
  if (now.state === 'waiting' || now.state === 'running') return <BeingBroughtIn now={now} />;
  if (now.state === 'applied') return <InTheFarm now={now} />;
  return <AskedAbout farm={farm} preview={preview} now={now} />;
}

function StateNotice({ now, tone = 'plain' }: { readonly now: FileImport; readonly tone?: 'plain' | 'care' }) {
  const key = IMPORT_STATE_WORDS[now.state];
  if (key === null || (now.state === 'cancelled' && now.result === null)) return null;
  return <Notice tone={tone} title={t(key, { file: now.fileName, result: now.result ?? '' })} live />;
}

function BeingBroughtIn({ now }: { readonly now: FileImport }) {
  const stop = useStopImport();
  return (
    <div className="stack">
      <StateNotice now={now} />
      <UnderWay
        label={t('screen.oldSheets')}
        said={t('oldSheets.atOnce')}
        progress={now.progress}
        onStop={() => stop.mutate(now.id)}
        stopping={stop.isPending}
        error={stop.error}
      />
    </div>
  );
}

function InTheFarm({ now }: { readonly now: FileImport }) {
  const takeBack = useTakeBack(now.id);
  return (
    <div className="stack">
      <StateNotice now={now} />
      <div>
        <LinkButton href="/stock" look="main">
          {t('oldSheets.toStock')}
        </LinkButton>
      </div>
      <p>{t('oldSheets.takeBackHint')}</p>
      <div>
        <Button look="danger" busy={takeBack.isPending} onClick={() => takeBack.mutate()}>
          {t('command.takeBack')}
        </Button>
      </div>
      {takeBack.error && <Failure error={takeBack.error} />}
    </div>
  );
}

const SEPARATORS: Readonly<Record<string, string>> = { ',': 'comma', ';': 'semicolon' };

function AskedAbout({ farm, preview, now }: SheetProps) {
  const understand = useUnderstandOldSheet(preview.import.id);
  const bringIn = useBringIn(preview.import.id);
  // What was just said shows at once; the answer brings what follows from it.
  const mapping: Readonly<Record<string, TableMappingJson>> = understand.isPending
    ? { ...preview.mapping, ...understand.variables }
    : preview.mapping;
  const change = (key: string, change: Partial<TableMappingJson>) => {
    bringIn.reset();
    understand.mutate({ ...mapping, [key]: { ...mapping[key]!, ...change } });
  };
  const sayWord = (tables: readonly string[], field: WordField, word: string, meaning: WordMeaning) => {
    bringIn.reset();
    const said = tables.map((key) => {
      const table = mapping[key]!;
      const words = { ...table.words, [field]: { ...table.words[field], [wordKey(word)]: meaning } };
      return [key, { ...table, words } as TableMappingJson] as const;
    });
    understand.mutate({ ...mapping, ...Object.fromEntries(said) });
  };
  return (
    <div className="stack">
      <StateNotice now={now} tone="care" />
      {preview.text && (
        <p>
          {t('oldSheets.textFile', {
            encoding: preview.text.encoding,
            separator: SEPARATORS[preview.text.separator] ?? 'tab',
          })}
        </p>
      )}
      {preview.remembered && <Notice title={t('oldSheets.remembered')} />}
      {preview.tables.map((table) => (
        <TableCard
          key={table.key}
          table={table}
          mapping={mapping[table.key]!}
          onChange={(changed) => change(table.key, changed)}
        />
      ))}
      {understand.isPending && <Waiting label={t('oldSheets.lookingAgain')} />}
      {understand.error && <Failure error={understand.error} />}
      <OpenQuestions farm={farm} preview={preview} mapping={mapping} onChange={change} onWord={sayWord} />
      <WhatWouldCome
        preview={preview}
        busy={understand.isPending || bringIn.isPending}
        onBringIn={(withoutRefused) => bringIn.mutate({ seen: preview.seen, withoutRefused })}
      />
      {bringIn.error && <Failure error={bringIn.error} />}
    </div>
  );
}
