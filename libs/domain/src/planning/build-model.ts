import type { AcceptedSituation } from './accepted-situation.js';
import { addBenchRows } from './model-bench.js';
import { BucketShelf } from './model-buckets.js';
import { addCleanContainerRows } from './model-clean-containers.js';
import { addCultures } from './model-cultures.js';
import { draftModel, inoculumKey, type ModelDraft } from './model-draft.js';
import { addPlaceRows } from './model-places.js';
import { addPools } from './model-pools.js';
import { addReserves } from './model-reserve.js';
import { addChoiceRows, addRuns } from './model-runs.js';
import type { InoculumRow, SpawnModel } from './spawn-model.js';

/** Puts the planner's programme together, one concern after the other. */
export function buildModel(situation: AcceptedSituation): SpawnModel {
  const draft = draftModel(situation);
  const cycles = addBenchRows(draft);
  const runs = addRuns(draft);
  const shelf = new BucketShelf(draft, runs, addChoiceRows(draft, runs));
  shelf.addOpenedStock(situation.containers.filter((container) => container.kind === 'opened'));
  const pools = addPools(draft, shelf);
  const cultures = addCultures(draft);
  const reserves = addReserves(draft, pools);
  addPlaceRows(draft, pools);
  addCleanContainerRows(draft, pools);
  return {
    situation,
    slots: draft.slots,
    programme: draft.builder.build(),
    starts: draft.starts,
    cycles,
    pools,
    buckets: draft.buckets,
    uses: draft.uses,
    cultures,
    runs,
    reserves,
    limits: draft.limits,
    inoculumRows: inoculumRowsOf(draft),
  };
}

function inoculumRowsOf({ inoculumRows, slots, situation }: ModelDraft): InoculumRow[] {
  return situation.strains.flatMap((strain) =>
    slots.flatMap((slot) =>
      Array.from({ length: strain.lastGeneration }, (_, place) => place + 1).flatMap((generation) => {
        const row = inoculumRows.get(inoculumKey(strain.index, generation, slot.index));
        return row === undefined ? [] : [{ row, strain: strain.index, generation, day: slot.day }];
      }),
    ),
  );
}
