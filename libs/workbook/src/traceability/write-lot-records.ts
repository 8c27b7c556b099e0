import type { TraceLot, TraceRecords } from '@jarfold/domain';
import type { DraftColumn, DraftValue, SheetDraft } from '../writing/sheet-draft.js';
import { writeXlsx } from '../writing/write-xlsx.js';

const text = (header: string, width: number): DraftColumn => ({ header, width, format: '@' });
const count = (header: string): DraftColumn => ({ header, width: 12, format: '0', total: true });
const grams = (header: string): DraftColumn => ({ header, width: 12, format: '#,##0', total: true });

/** Lot records as one table to sort and filter: a row to a lot, with what led to it and what came of it. */
export function writeLotRecords(records: TraceRecords): Promise<Buffer> {
  return writeXlsx([lotSheet(records)], `Lot records ${records.farmName}`);
}

function lotSheet({ farmName, madeAt, lots }: TraceRecords): SheetDraft {
  return {
    name: 'Lots',
    title: [
      `Lot records of ${farmName}`,
      `As of ${madeAt.slice(0, 16).replace('T', ' ')} UTC. Made = drawn + left + discarded, in grams.`,
    ],
    columns: [
      text('Lot', 18),
      { header: 'Made on', width: 12, format: 'yyyy-mm-dd' },
      text('Origin', 12),
      text('Strain', 9),
      text('Strain name', 22),
      text('Species', 24),
      { header: 'Generation', width: 11, format: '0' },
      text('Size', 16),
      text('Mother jars', 34),
      text('Grain batch', 16),
      text('Steriliser cycle', 16),
      { header: 'F0 min', width: 9, format: '0.0' },
      text('Supplier', 18),
      count('Jars'),
      count('Contaminated'),
      count('Standing'),
      grams('Made g'),
      grams('Drawn g'),
      grams('Left g'),
      grams('Discarded g'),
      text('Bulk runs and orders', 40),
    ],
    rows: lots.map(lotRow),
    whenEmpty: 'No lots in these days.',
  };
}

function lotRow(lot: TraceLot): DraftValue[] {
  const { jars, draws } = lot;
  const sum = (of: (jar: TraceLot['jars'][number]) => number) => jars.reduce((total, jar) => total + of(jar), 0);
  const intoRuns = new Map<string, number>();
  for (const { runName, massG } of draws) intoRuns.set(runName, (intoRuns.get(runName) ?? 0) + massG);
  return [
    lot.code,
    { day: lot.madeOn },
    ...[lot.origin, lot.strainCode, lot.strainName, lot.species, lot.generation, lot.size],
    lot.mothers.map(({ code }) => code).join(', '),
    ...[lot.grainBatch, lot.cycle, lot.f0Min, lot.supplier, jars.length],
    jars.filter(({ contaminatedOn }) => contaminatedOn !== null).length,
    jars.filter(({ goneAt }) => goneAt === null).length,
    ...[
      sum(({ madeG }) => madeG),
      sum(({ drawnG }) => drawnG),
      sum(({ leftG }) => leftG),
      sum(({ discardedG }) => discardedG),
    ],
    [...intoRuns].map(([run, massG]) => `${run} (${Math.round(massG)} g)`).join(', '),
  ];
}
