import type { FarmSettings } from '@jarfold/contracts';
import type { FarmGrain } from '@jarfold/domain';

/** The grain a farm fills its containers with, from its settings. */
export function farmGrain({ grain, targetMoisture }: Pick<FarmSettings, 'grain' | 'targetMoisture'>): FarmGrain {
  return { grainKey: grain, targetMoisture };
}
