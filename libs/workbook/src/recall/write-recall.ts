import type { RecallJson } from '@jarfold/contracts';
import type { SheetDraft } from '../writing/sheet-draft.js';
import { writeXlsx } from '../writing/write-xlsx.js';

type Recalled = RecallJson['jars'][number];

/** A recall as a workbook: every relative with its place and its grams, the balance, and the runs spawn went into. */
export function writeRecallWorkbook(recall: RecallJson): Promise<Buffer> {
  return writeXlsx([jarSheet(recall), balanceSheet(recall), runSheet(recall)], `Recall of ${recall.asked.code}`);
}

/** What the file is called; a code's slash would be a folder. */
export const recallFileName = ({ asked, asOf }: Pick<RecallJson, 'asked' | 'asOf'>): string =>
  `Recall ${asked.code.replaceAll('/', '-')} ${asOf}.xlsx`;

const RELATION_WORDS: Readonly<Record<Recalled['relation'], string>> = {
  asked: 'asked for',
  ancestor: 'ancestor',
  descendant: 'made from it',
  sister: 'sister',
};

function jarSheet({ asked, asOf, jars }: RecallJson): SheetDraft {
  const grams = (header: string) => ({ header, width: 11, format: '0.0', total: true });
  return {
    name: 'Relatives',
    title: [
      `Recall of ${asked.kind} ${asked.code}`,
      `As of ${asOf}. Every relative up and down the lineage. Bag mouldy jars closed; never open them indoors.`,
    ],
    columns: [
      { header: 'Jar', width: 20, format: '@' },
      { header: 'Relation', width: 14, format: '@' },
      { header: 'Steps', width: 7, format: '0' },
      { header: 'Lot', width: 16, format: '@' },
      { header: 'Strain', width: 9, format: '@' },
      { header: 'Generation', width: 11, format: '0' },
      { header: 'State', width: 14, format: '@' },
      { header: 'Room', width: 20, format: '@' },
      { header: 'Shelf', width: 14, format: '@' },
      { header: 'Row', width: 6, format: '0' },
      { header: 'Place', width: 7, format: '0' },
      { header: 'Made on', width: 12, format: 'yyyy-mm-dd' },
      { header: 'Contaminated on', width: 16, format: 'yyyy-mm-dd' },
      grams('Made g'),
      grams('Drawn g'),
      grams('Left g'),
      grams('Discarded g'),
    ],
    rows: jars.map((jar) => [
      ...[jar.code, RELATION_WORDS[jar.relation], jar.steps, jar.lotCode, jar.strainCode, jar.generation, jar.state],
      ...[jar.place?.roomName ?? null, jar.place?.shelfName ?? null, jar.place?.row ?? null, jar.place?.place ?? null],
      { day: jar.madeOn },
      jar.contaminatedOn === null ? null : { day: jar.contaminatedOn },
      ...[jar.madeG, jar.drawnG, jar.leftG, jar.discardedG],
    ]),
    marked: (row) => row[1] === RELATION_WORDS.asked || row[6] === 'contaminated',
  };
}

function balanceSheet({ balance }: RecallJson): SheetDraft {
  const { byState, unbalanced, ...sums } = balance;
  const line = (what: string, jars: number | null, grams: number | null) => [what, jars, grams] as const;
  return {
    name: 'Balance',
    title: [
      'What was asked for and everything made from it',
      'Made = drawn + left + discarded; anything else is named.',
    ],
    columns: [
      { header: 'What', width: 34, format: '@' },
      { header: 'Jars', width: 9, format: '0' },
      { header: 'Grams', width: 12, format: '0.0' },
    ],
    rows: [
      line('made', sums.jars, sums.madeG),
      line('still on the farm', sums.present, sums.leftG),
      line('gone', sums.gone, null),
      line('drawn for jars and runs', null, sums.drawnG),
      line('discarded', null, sums.discardedG),
      line('not accounted for', unbalanced.length, sums.unaccountedG),
      ...byState.map(({ state, jars }) => line(`state: ${state}`, jars, null)),
      ...unbalanced.map(({ code, unaccountedG }) => line(`not accounted for: ${code}`, null, unaccountedG)),
    ],
  };
}

function runSheet({ runs }: RecallJson): SheetDraft {
  return {
    name: 'Bulk runs',
    title: ['Bulk runs that spawn of these jars went into, and orders it left the farm for'],
    columns: [
      { header: 'Bulk run or order', width: 26, format: '@' },
      { header: 'Day', width: 12, format: 'yyyy-mm-dd' },
      { header: 'Jars', width: 9, format: '0', total: true },
      { header: 'Grams', width: 12, format: '0.0', total: true },
    ],
    rows: runs.map(({ runName, day, jars, grams }) => [runName, { day }, jars, grams]),
    whenEmpty: 'Nothing of these jars went into a run or left for an order.',
  };
}
