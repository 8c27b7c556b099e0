import {
  type FileUnits,
  largeMassUnit,
  type RunCellName,
  runCellNames,
  usualSpawnMoisturePercent,
  usualSubstrateMoisturePercent,
  type WeeklyBook,
} from '@jarfold/domain';
import type { DraftColumn, DraftRule, DraftValue, SheetDraft } from '../writing/sheet-draft.js';
import { dayFormat, massColumn, shownMass } from './book-columns.js';

export const RUN_SHEET = 'Bulk runs';
export const KEY_HEADING = 'Key';
export const DELETE_HEADING = 'Delete';
export const DELETE_WORD = 'delete';
/** Rows of strain codes on the Lists sheet. */
export const STRAIN_CODES_NAME = 'strain_codes';

/** Headings of the columns that are read back; the mass names its unit. */
export function runHeadings(units: FileUnits): Readonly<Record<RunCellName, string>> {
  return {
    name: 'Run',
    day: 'Day',
    strains: 'Strains, best first',
    substrate: `Wet substrate ${largeMassUnit(units)}`,
    moisture: 'Substrate moisture %',
    spawnRate: 'Spawn rate %',
    basis: 'Basis',
    minimum: 'Minimum %',
    maximum: 'Maximum %',
    priority: 'Priority',
    slackDays: 'Slack days',
    state: 'State',
    note: 'Note',
  };
}

const between = (min: number, max: number, whole = false): DraftRule => ({ kind: 'number', min, max, whole });

/** Bulk runs: the table a person may change and send back. Its Key column is hidden and goes along when it is sorted. */
export function runSheetDraft({ runs, units }: WeeklyBook): SheetDraft {
  const heading = runHeadings(units);
  const column = (name: RunCellName, width: number, format: string, more: Partial<DraftColumn> = {}): DraftColumn => ({
    ...{ header: heading[name], width, format, editable: true },
    ...more,
  });
  const wanted = massColumn('Spawn wanted', units, {
    formula: (at) => wantedFormula(at, units),
    note: 'Worked out from the columns before it. Changing it here changes nothing.',
    total: true,
  });
  const covered = massColumn('Covered', units, { total: true, note: 'By the newest plan.' });
  return {
    name: RUN_SHEET,
    title: [
      'Bulk runs',
      'Change the light cells, add rows below, write "delete" to cancel a run. Then send the file back.',
    ],
    columns: [
      column('name', 24, '@'),
      column('day', 14, dayFormat(units), { rule: { kind: 'day' } }),
      column('strains', 18, '@', { note: 'Codes of the sheet Lists, parted by commas. The first is preferred.' }),
      column('substrate', 13, '0.0##', { rule: between(0.001, 1_000_000) }),
      column('moisture', 12, '0.##', {
        rule: between(1, 99),
        note: `Blank: ${usualSubstrateMoisturePercent} % where the basis needs it.`,
      }),
      column('spawnRate', 9, '0.##', { rule: between(0.01, 100) }),
      column('basis', 10, '@', {
        words: ['wet/wet', 'wet/dry', 'dry/dry'],
        note: 'Spawn over substrate: what the spawn rate is a share of.',
      }),
      column('minimum', 10, '0.##', { rule: between(0, 100) }),
      column('maximum', 10, '0.##', { rule: between(100, 300) }),
      column('priority', 9, '0', { rule: between(1, 9, true), note: '1 is the most important.' }),
      column('slackDays', 8, '0', { rule: between(0, 60, true) }),
      column('state', 10, '@', { words: ['planned', 'done'] }),
      column('note', 28, '@', { wrap: true }),
      { header: DELETE_HEADING, width: 9, format: '@', editable: true, words: [DELETE_WORD] },
      wanted,
      covered,
      {
        ...{ header: 'Share covered', width: 10, format: '0%', bar: true, align: 'right' },
        formula: (at) => `IF(${at(covered.header)}="","",${at(covered.header)}/${at(wanted.header)})`,
      },
      { header: 'What limits it', width: 40, format: '@', wrap: true },
      { header: KEY_HEADING, width: 12, format: '@', hidden: true },
    ],
    rows: runs.map((run) => runRow(run, units)),
    highlights: [
      {
        look: 'care',
        when: (at) => `AND(ISNUMBER(${at('Share covered')}),${at('Share covered')}*100<${at(heading.minimum)})`,
      },
    ],
    whenEmpty: '',
  };
}

function runRow({ key, cells, targetG, coveredG, limit }: WeeklyBook['runs'][number], units: FileUnits): DraftValue[] {
  const values = runCellNames.map((name): DraftValue => {
    const value = cells[name];
    if (name === 'day') return { day: value as WeeklyBook['asOf'] };
    return typeof value === 'boolean' ? String(value) : value;
  });
  const wanted = shownMass(targetG, units);
  const covered = coveredG === null ? null : shownMass(coveredG, units);
  return [...values, null, wanted, covered, covered === null ? '' : covered / wanted, limit, key];
}

/** The same as the planner reckons: spawn over substrate by the basis, in whole grams, rounded up. */
function wantedFormula(at: (header: string) => string, units: FileUnits): string {
  const heading = runHeadings(units);
  const [substrate, rate, basis, moisture] = (['substrate', 'spawnRate', 'basis', 'moisture'] as const).map((name) =>
    at(heading[name]),
  );
  const gramsPer = units.massUnit === 'us' ? '453.59237' : '1000';
  const dryShare = `IF(${basis}="wet/wet",1,1-IF(${moisture}="",${usualSubstrateMoisturePercent},${moisture})/100)`;
  const spawnDry = `IF(${basis}="dry/dry",${1 - usualSpawnMoisturePercent / 100},1)`;
  const grams = `ROUNDUP(${substrate}*${gramsPer}*${rate}/100*${dryShare}/${spawnDry}-0.000001,0)`;
  return units.massUnit === 'us' ? `ROUND(${grams}/${gramsPer},3)` : grams;
}
