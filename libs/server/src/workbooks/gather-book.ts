import type { Week } from '@jarfold/contracts';
import { addDays, type WeeklyBook } from '@jarfold/domain';
import { newestFacts } from '../plan/index.js';
import type { GrowerContext, GrowerTx } from '../platform/index.js';
import { listBorneRuns, listLotCells } from '../rates/index.js';
import { coverageOfRuns, isBulkRun, listRuns } from '../runs/index.js';
import { listOnHand, readFarmNames } from '../stock/index.js';
import { bookLists, harvestRows, jarRow, orderRow, rateRows, runRow, startRow } from './book-rows.js';
import { readFileUnits } from './file-units.repository.js';
import { planInBrief, workLines } from './week-work.js';

const RATES_BACK_DAYS = 182;
const HARVESTS_BACK_DAYS = 365;
/** Beyond its life within so many days counts as soon. */
const SOON_DAYS = 7;

/** Everything a weekly workbook says, read at one moment; the week's work comes from the week's own feature. */
export async function gatherBook(
  tx: GrowerTx,
  ctx: GrowerContext,
  week: Week,
  file: { readonly exportId: string; readonly madeAt: Date; readonly label: string },
): Promise<WeeklyBook> {
  const { growerId } = ctx;
  const names = await readFarmNames(tx, growerId);
  const units = await readFileUnits(tx, growerId);
  const asOf = week.today;
  const { plan } = await newestFacts(tx, ctx);
  const planned = await listRuns(tx, growerId, { state: 'planned' });
  const coverage = await coverageOfRuns(tx, growerId, plan, planned);
  const runs = planned.filter(isBulkRun).map((run) => runRow(run, names, units, coverage.get(run.id)));
  const runNames = new Map(planned.map(({ id, name }) => [id, name]));
  const jars = (await listOnHand(tx, growerId)).map((jar) => jarRow(jar, names, asOf));
  const cells = await listLotCells(tx, growerId, { from: addDays(asOf, -RATES_BACK_DAYS), strainId: null });
  const borne = await listBorneRuns(tx, growerId, { from: addDays(asOf, -HARVESTS_BACK_DAYS), strainId: null });
  const expiring = jars.flatMap(({ expiresOn }) => (expiresOn === null ? [] : [expiresOn]));
  return {
    ...{ growerId, farmName: names.settings.name, exportId: file.exportId, madeAt: file.madeAt.toISOString() },
    ...{ asOf, week: file.label, from: week.monday, to: week.sunday, units, runs, jars },
    orders: planned.flatMap((run) => (isBulkRun(run) ? [] : [orderRow(run, names, coverage.get(run.id))])),
    planAsOf: week.planAsOf,
    brief: {
      ...planInBrief(week),
      runsPlanned: runs.length,
      runsCovered: runs.filter(({ coveredG, minG }) => coveredG !== null && coveredG >= minG).length,
      jarsPastLife: expiring.filter((day) => day < asOf).length,
      jarsSoonPast: expiring.filter((day) => day >= asOf && day < addDays(asOf, SOON_DAYS)).length,
      jarsContaminated: jars.filter(({ state }) => state === 'contaminated').length,
    },
    work: workLines(week, units),
    starts: (plan?.plan.starts ?? []).map((start) => startRow(start, names, runNames, units)),
    contamination: rateRows(cells, names),
    harvests: harvestRows(borne),
    lists: bookLists(names),
  };
}
