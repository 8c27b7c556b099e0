import type {
  Carrier,
  ContainerForm,
  DrawAmount,
  EntryPayloads,
  Jar,
  ShelfPlace,
  SteriliserCycle,
} from '@jarfold/domain';
import type { BenchAction, LocalFarm, SizeFacts } from '../../offline/index.js';

export const NEW_LOTS = ['inoculate', 'blanks', 'receive', 'culture'] as const;
export type NewLotKind = (typeof NEW_LOTS)[number];

/** What the screen has gathered about a lot that is to come into being. */
export interface LotDraft {
  readonly kind: NewLotKind;
  readonly strainId: string | null;
  readonly sizeId: string | null;
  readonly count: number;
  readonly mothers: readonly Jar[];
  readonly amount: DrawAmount['by'];
  readonly cycleId: string | null;
  readonly generation: number;
  readonly supplier: string;
  readonly ripe: boolean;
  readonly places: readonly ShelfPlace[];
}

export interface LotIds {
  readonly lotId: string;
  readonly jarIds: readonly string[];
}

/** The action a draft comes to; null while something is missing. */
export function lotAction(
  draft: LotDraft,
  size: SizeFacts | null,
  ids: LotIds,
  grainBatchId: string | null,
): BenchAction | null {
  if (!size || draft.count < 1) return null;
  const jars = ids.jarIds.slice(0, draft.count).map((id, at) => ({ id, serial: at + 1, ...placeOf(draft.places[at]) }));
  const lot = { lotId: ids.lotId, sizeId: size.id };
  const load = {
    ...(draft.cycleId === null ? {} : { cycleId: draft.cycleId }),
    ...(grainBatchId === null ? {} : { grainBatchId }),
  };
  const form = { container: size.container as ContainerForm, carrier: size.carrier as Carrier };
  if (draft.kind === 'blanks') return { kind: 'blanks_kept', payload: { ...lot, ...load, jars } };
  if (draft.strainId === null) return null;
  const { strainId } = draft;
  if (draft.kind === 'inoculate') return inoculation(draft, { ...lot, ...load, ...form, strainId, jars });
  if (draft.kind === 'culture') return culture(draft, { ...lot, ...form, strainId, jars });
  const received = draft.ripe ? jars : jars.map((jar) => ({ ...jar, ripeOn: null }));
  const supplier = draft.supplier.trim() === '' ? {} : { supplier: draft.supplier.trim().slice(0, 120) };
  const { generation } = draft;
  return { kind: 'received', payload: { ...lot, ...form, strainId, generation, ...supplier, jars: received } };
}

/** With several mothers the jars are shared out among them in turn, so that each jar's mother is known. */
function inoculation(draft: LotDraft, lot: Omit<EntryPayloads['inoculated'], 'mothers'>): BenchAction | null {
  if (draft.mothers.length === 0) return null;
  const amount = amountOf(draft.amount);
  const mothers = draft.mothers.map(({ id }) => ({ jarId: id, amount }));
  const jars =
    mothers.length === 1
      ? lot.jars
      : lot.jars.map((jar, at) => ({
          ...jar,
          motherJarId: draft.mothers[Math.floor((at * mothers.length) / lot.jars.length)]?.id,
        }));
  return { kind: 'inoculated', payload: { ...lot, mothers, jars } };
}

function culture(draft: LotDraft, lot: Omit<EntryPayloads['culture_made'], 'fromJarId'>): BenchAction {
  const [source] = draft.mothers;
  return { kind: 'culture_made', payload: source ? { ...lot, fromJarId: source.id } : lot };
}

function amountOf(by: DrawAmount['by']): DrawAmount {
  return by === 'grams' ? { by: 'all' } : { by };
}

function placeOf(place: ShelfPlace | undefined) {
  return place ? { place } : {};
}

export interface OpenCycle {
  readonly cycle: SteriliserCycle;
  /** Of the size asked for, loaded and not yet inoculated. */
  readonly waiting: number;
}

/** Cycles with jars of a size that wait to be inoculated, the oldest first: sterile jars keep only some days. */
export function cyclesWaiting(view: LocalFarm, sizeId: string | null): readonly OpenCycle[] {
  const countIn = (counts: SteriliserCycle['loads']) =>
    counts.filter((one) => one.sizeId === sizeId).reduce((sum, { count }) => sum + count, 0);
  return [...view.all('cycle')]
    .map((cycle) => ({ cycle, waiting: countIn(cycle.loads) - countIn(cycle.used) }))
    .filter(({ cycle, waiting }) => waiting > 0 && cycle.endedAtMs !== null)
    .sort((a, b) => a.cycle.startedAtMs - b.cycle.startedAtMs);
}

/** The one grain batch a cycle was loaded from; null when it was several or nobody said. */
export function batchOfCycle(view: LocalFarm, cycleId: string | null, sizeId: string | null): string | null {
  const batches = [...view.all('grainBatch')].filter(({ loaded }) =>
    loaded.some((one) => one.sizeId === sizeId && one.count > 0),
  );
  const cycle = cycleId === null ? undefined : view.thing('cycle', cycleId);
  const near = batches.filter(({ stepAtMs }) => cycle && (stepAtMs.filled ?? Infinity) <= cycle.startedAtMs);
  const last = near.sort((a, b) => (b.stepAtMs.filled ?? 0) - (a.stepAtMs.filled ?? 0))[0];
  return last && near.length > 0 && (near[1]?.stepAtMs.filled ?? 0) < (last.stepAtMs.filled ?? 0) ? last.id : null;
}
