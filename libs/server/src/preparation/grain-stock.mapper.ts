import type { GrainStockItem } from '@jarfold/contracts';
import {
  type CalendarDay,
  type GrainNeed,
  type GrainOnHand,
  type GrainOutlook,
  knownGrain,
  preparationGrain,
} from '@jarfold/domain';
import type { SpawnPlan } from '@jarfold/domain/planning';
import { farmGrain, type SizeRow, type StoredSettings } from '../farm/index.js';

/** Grain each preparation day of a plan needs. */
export function grainNeeds(plan: SpawnPlan, sizes: readonly SizeRow[], settings: StoredSettings): GrainNeed[] {
  const volumes = new Map(sizes.map(({ id, volumeMl }) => [id, volumeMl]));
  return plan.preparations.map(({ day, containers }) => ({
    day: day as CalendarDay,
    massG: preparationGrain(
      containers.flatMap(({ sizeId, count }) => {
        const volumeMl = volumes.get(sizeId);
        return volumeMl === undefined ? [] : [{ volumeMl, count }];
      }),
      farmGrain(settings),
    ).dryGrainG,
  }));
}

export function grainItem(key: string, onHand: GrainOnHand, outlook: GrainOutlook | null): GrainStockItem {
  return {
    grain: { key, name: knownGrain(key).name },
    state: onHand.state,
    onHandG: onHand.state === 'known' ? onHand.onHandG : null,
    account: onHand.state === 'not-counted' ? null : accountJson(onHand.account),
    outlook,
  };
}

function accountJson({ countedAtMs, ...account }: Extract<GrainOnHand, { account: unknown }>['account']) {
  return { countedAt: new Date(countedAtMs).toISOString(), ...account };
}
