import type { CycleDetail, CycleJson } from '@jarfold/contracts';
import {
  boilingPointC,
  type CycleRecord,
  cycleVerdict,
  fromPublished,
  type HeatMethod,
  heatMethods,
  holdSpans,
  lethality,
  logReduction,
  spores,
  type TracePoint,
} from '@jarfold/domain';
import type { CycleRow } from './cycles.repository.js';

/** Our own starting value: minutes until the middle of the load is as hot as the gauge says. */
const COME_UP_ALLOWANCE_MIN = 0;
/** A probe is read to about half a degree. */
const SLACK_C = 0.5;

const NOT_JUDGED = { kind: 'not judged', departures: [], f0Min: null, from: null, holdForTargetMin: null } as const;

/** What a cycle was worth by its own method; an altitude nobody gave counts as sea level. */
export function verdictOf(cycle: CycleRow, trace: readonly TracePoint[] | null): CycleJson['verdict'] {
  const method = methodOf(cycle);
  if (method === null) return { ...NOT_JUDGED, departures: [] };
  const { advice: _advice, departures, ...verdict } = cycleVerdict(recordOf(cycle, method, trace));
  return { ...verdict, departures: [...departures] };
}

export function targetOf(cycle: CycleRow): CycleDetail['target'] {
  const method = methodOf(cycle);
  if (method === null) return null;
  return {
    ...{ methodName: method.name, holdMin: method.holdMin.value, source: fromPublished(method.holdMin).source },
    ...{ temperatureC: wantedC(cycle, method), f0Min: method.f0TargetMin, achieves: method.achieves },
  };
}

/** What is drawn and told of a trace beside the verdict. */
export function traceSeen(cycle: CycleRow, points: readonly TracePoint[]) {
  const method = methodOf(cycle);
  const { highestC, longestGapMin } = lethality(points);
  const hot = method === null ? [] : holdSpans(points, wantedC(cycle, method) - SLACK_C);
  return { highestC, longestGapMin, hot };
}

/** How far the heat kills named spores, in powers of ten. */
export function killsBy(f0Min: number | null): CycleDetail['kills'] {
  if (f0Min === null) return [];
  return spores.map(({ name, dMin }) => ({
    ...{ spore: name, dMin: dMin.value, source: fromPublished(dMin).source },
    log10: logReduction(f0Min, dMin.value),
  }));
}

/** A cycle as it is judged, by its page and by the watch; null where nothing is known of its method. */
export function recordOfCycle(cycle: JudgedCycle, trace: readonly TracePoint[] | null): CycleRecord | null {
  const method = methodOf(cycle);
  return method === null ? null : recordOf(cycle, method, trace);
}

type JudgedCycle = Pick<CycleRow, 'altitudeM' | 'holdMin' | 'gaugePressureKpa' | 'boilLost'> & {
  readonly method: string;
};

const methodOf = ({ method }: Pick<JudgedCycle, 'method'>): HeatMethod | null =>
  heatMethods.find(({ key }) => key === method) ?? null;

const wantedC = ({ altitudeM }: Pick<JudgedCycle, 'altitudeM'>, method: HeatMethod): number =>
  method.temperatureC ?? boilingPointC(altitudeM ?? 0);

function recordOf(cycle: JudgedCycle, method: HeatMethod, trace: readonly TracePoint[] | null): CycleRecord {
  const hot = trace === null ? [] : holdSpans(trace, wantedC(cycle, method) - SLACK_C);
  return {
    ...{ method, trace, altitudeM: cycle.altitudeM ?? 0, declaredHoldMin: method.holdMin.value },
    ...{ holdMin: cycle.holdMin, gaugePressureKpa: cycle.gaugePressureKpa },
    comeUpAllowanceMin: COME_UP_ALLOWANCE_MIN,
    // Two days of steaming are two stretches by intention.
    interrupted: cycle.boilLost || hot.length > method.treatments,
  };
}
