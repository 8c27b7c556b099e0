import type { RunCoverageJson } from '@jarfold/contracts';
import {
  type BookHarvest,
  type BookJar,
  type BookLists,
  type BookOrder,
  type BookRate,
  type BookRun,
  type BookStart,
  containerValues,
  type FileUnits,
  findSpecies,
  formatIsoWeek,
  isoWeek,
  type LotCell,
  rateEstimate,
  runCells,
  type StatedRun,
  usualMoistures,
  writtenMass,
} from '@jarfold/domain';
import type { SpawnPlan } from '@jarfold/domain/planning';
import { farmGrain } from '../farm/index.js';
import type { listBorneRuns } from '../rates/index.js';
import type { BulkRunRow, OrderRow } from '../runs/index.js';
import { type FarmNames, type JarRow, jarJson } from '../stock/index.js';

/** From stored rows to the plain rows of a weekly workbook. */

export function statedRun(row: BulkRunRow, names: Pick<FarmNames, 'strains'>): StatedRun {
  return { ...row, strainCodes: row.strainIds.map((id) => names.strains.get(id)?.code ?? id) };
}

export function runRow(
  row: BulkRunRow,
  names: FarmNames,
  units: FileUnits,
  coverage: RunCoverageJson | undefined,
): BookRun {
  return {
    key: row.id,
    revision: row.revision,
    cells: runCells(statedRun(row, names), units),
    targetG: row.targetGrams,
    minG: row.minGrams,
    coveredG: coverage?.coveredGrams ?? null,
    // Within a hundredth of its target nothing limits a run, whatever would raise it further.
    limit: coverage === undefined || coverage.kind === 'full' ? '' : (coverage.limitMessage ?? ''),
  };
}

export function orderRow(row: OrderRow, names: FarmNames, coverage: RunCoverageJson | undefined): BookOrder {
  const { name, day, jars, handedOver, sizeName: size, forWhom, note } = row;
  return {
    ...{ name, day, jars, handedOver, size, forWhom: forWhom ?? '', note: note ?? '' },
    strains: row.strainIds.map((id) => names.strains.get(id)?.code ?? id).join(', '),
    covered: coverage?.jars?.covered ?? null,
  };
}

export function startRow(
  start: SpawnPlan['starts'][number],
  names: FarmNames,
  runs: ReadonlyMap<string, string>,
  units: FileUnits,
): BookStart {
  const feeds = start.feeds.map(({ run, grams }) => `${runs.get(run) ?? 'a run'} (${writtenMass(grams, units)})`);
  return {
    ...{ benchDay: start.benchDay, generation: start.generation, containers: start.containers },
    ...{ ripeOn: start.ripeOn, lastSafeDay: start.lastSafeDay },
    strain: names.strains.get(start.strainId)?.code ?? '',
    size: names.sizes.get(start.sizeId)?.name ?? '',
    mothers: start.mothers.map(({ code, grams }) => `${motherName(code)} (${writtenMass(grams, units)})`).join('; '),
    purpose: [
      ...feeds,
      ...(start.mothersLaterGrams > 0 ? ['mothers for later'] : []),
      ...(start.reserveGrams > 0 ? ['mother reserve'] : []),
    ].join(', '),
  };
}

/** A mother is a jar by its code, or something the plan makes earlier. */
const motherName = (code: string) => (/^(start|culture)\b/.test(code) ? 'an earlier start' : code);

export function jarRow(jar: JarRow, names: FarmNames, asOf: Parameters<typeof jarJson>[2]): BookJar {
  const shown = jarJson(jar, names, asOf);
  return {
    ...{ code: shown.code, strain: shown.strainCode, generation: shown.generation, size: shown.sizeName },
    ...{ state: shown.state, madeOn: shown.madeOn, ripeOn: shown.ripeOn, ripeExpected: shown.ripeExpected },
    ...{ chilledOn: shown.chilledOn, leftG: shown.gramsLeft, colonised: shown.shareColonised },
    ...{ mother: shown.keptAsMother, expiresOn: shown.expiresOn },
    room: shown.place?.roomName ?? '',
    shelf: shown.place?.shelfName ?? '',
  };
}

type Tally = { made: number; settled: number; contaminated: number };

/** Rates by the week of making, by strain and by steriliser method; blanks are left out. */
export function rateRows(cells: readonly LotCell[], names: FarmNames): BookRate[] {
  const inoculated = cells.filter(({ blank }) => !blank);
  const by = (kind: BookRate['by'], of: (cell: LotCell) => string | null): BookRate[] => {
    const tallies = new Map<string, Tally>();
    for (const cell of inoculated) {
      const what = of(cell);
      if (what === null) continue;
      const tally = tallies.get(what) ?? { made: 0, settled: 0, contaminated: 0 };
      tallies.set(what, {
        made: tally.made + cell.jars,
        settled: tally.settled + cell.settled,
        contaminated: tally.contaminated + cell.contaminated,
      });
    }
    const sorted = [...tallies].sort(([a], [b]) => a.localeCompare(b));
    return sorted.map(([what, tally]) => ({ by: kind, what, ...tally, ...intervalOf(tally) }));
  };
  return [
    ...by('strain', ({ strainId }) => (strainId === null ? null : (names.strains.get(strainId)?.code ?? null))),
    ...by('steriliser method', ({ method }) => method),
    ...by('week', ({ madeOn }) => formatIsoWeek(isoWeek(madeOn))),
  ];
}

function intervalOf({ contaminated, settled }: Tally): Pick<BookRate, 'low' | 'high'> {
  const estimate = rateEstimate(Math.min(contaminated, settled), settled);
  return estimate.kind === 'estimate' ? { low: estimate.low, high: estimate.high } : { low: null, high: null };
}

export function harvestRows(runs: Awaited<ReturnType<typeof listBorneRuns>>): BookHarvest[] {
  return runs
    .map(({ name, spawnedOn, substrateWetG, substrateMoisture, pickings }) => {
      const ofFlush = (wanted: (flush: number) => boolean) =>
        pickings.filter(({ flush }) => wanted(flush)).reduce((sum, { massG }) => sum + massG, 0);
      return {
        ...{ run: name, spawnedOn },
        substrateDryG: substrateWetG * (1 - (substrateMoisture ?? usualMoistures.substrateMoisture)),
        firstFlushG: ofFlush((flush) => flush === 1),
        secondFlushG: ofFlush((flush) => flush === 2),
        laterFlushesG: ofFlush((flush) => flush > 2),
        lastPickedOn: pickings.at(-1)?.day ?? null,
      };
    })
    .sort((a, b) => b.spawnedOn.localeCompare(a.spawnedOn) || a.run.localeCompare(b.run));
}

export function bookLists(names: FarmNames): BookLists {
  const inUse = <Row extends { readonly archived: boolean }>(rows: ReadonlyMap<string, Row>) =>
    [...rows.values()].filter(({ archived }) => !archived);
  const grain = farmGrain(names.settings);
  return {
    strains: inUse(names.strains).map(({ id, code, name, speciesKey }) => ({
      ...{ code, name, species: findSpecies(speciesKey).profile.latinName },
      daysToRipe: names.rules.get(id)?.daysToRipe ?? 0,
    })),
    sizes: inUse(names.sizes).map((size) => ({
      ...{ name: size.name, volumeMl: size.volumeMl },
      ripeG: containerValues(size, grain).ripeGrams.value,
    })),
    rooms: inUse(names.rooms).map(({ name, kind, temperatureC }) => ({ name, kind, temperatureC })),
  };
}
