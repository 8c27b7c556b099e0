import { type Jar, jarsInHand } from '@jarfold/domain';
import type { MessageKey } from '../../messages/translate.js';
import type { BenchJob, FarmFacts, LocalFarm, OrderFacts, OwnEntry } from '../../offline/index.js';

/** A job of the day as the bench shows it. */
export interface JobCard {
  readonly id: string;
  readonly kind: BenchJob['kind'];
  readonly title: MessageKey;
  readonly wanted: number;
  readonly done: number;
  readonly ready: boolean;
  readonly strainCode: string;
  readonly generation: number | null;
  readonly sizeName: string;
  readonly runName: string;
  readonly from: string | null;
  readonly unit: BenchJob['unit'];
  /** Where the job is done, filled in. */
  readonly href: string;
}

const TITLES = {
  fill: 'job.fill',
  sterilise: 'job.sterilise',
  inoculate: 'job.inoculate',
  chill: 'job.chill',
  warm: 'job.warm',
  use: 'job.use',
  culture: 'job.culture',
} as const satisfies Record<BenchJob['kind'], MessageKey>;

/** What is nearly done is done: half a gram short of a run is nothing anybody would go back for. */
const DONE_SHARE = 0.995;

/** Own entries the farm's picture does not contain yet. @param cursor position of the log the picture is true at */
export function entriesSince(own: readonly OwnEntry[], cursor: number | null): readonly OwnEntry[] {
  const isNewer = ({ position }: OwnEntry) => (position ?? 0) > (cursor ?? -1);
  return own.filter((entry) => entry.state === 'unsent' || (entry.state === 'applied' && isNewer(entry)));
}

/** Jars this tablet gave for an order since that picture. */
export function jarsGivenSince(orderId: string, since: readonly OwnEntry[]): number {
  return since.reduce((count, { kind, payload }) => {
    const { runId, draws } = payload as { readonly runId?: string; readonly draws?: readonly unknown[] };
    return count + (kind === 'drawn_for_run' && runId === orderId ? (draws?.length ?? 0) : 0);
  }, 0);
}

/**
 * Today's jobs, ticking themselves off: what the server counted plus what this tablet has logged since.
 * @param since own entries the farm's picture does not contain
 */
export function todaysJobs(farm: FarmFacts, view: LocalFarm, since: readonly OwnEntry[]): readonly JobCard[] {
  const apart = farm.jobs.jobs.filter(({ kind }) => !isMove(kind));
  return [...apart.map((job) => jobCard(job, farm, view, since)), ...moveCards(farm, view)];
}

const isMove = (kind: BenchJob['kind']): kind is 'chill' | 'warm' => kind === 'chill' || kind === 'warm';

/** Jars to chill or to warm are one card each way, ticked off by how the jars stand: whoever moved them did the job. */
function moveCards(farm: FarmFacts, view: LocalFarm): readonly JobCard[] {
  return (['chill', 'warm'] as const).flatMap((kind) => {
    const codes = farm.jobs.jobs.flatMap((job) => (job.kind === kind && job.from ? [job.from] : []));
    const jars = codes.flatMap((code) => view.jarWithCode(code) ?? []);
    const open = jars.filter(({ chilledOn, goneAs }) => goneAs === null && (chilledOn === null) === (kind === 'chill'));
    if (codes.length === 0) return [];
    const jarIds = open.map(({ id }) => id).join(',');
    return [
      {
        ...NOTHING_NAMED,
        id: kind,
        kind,
        title: TITLES[kind],
        wanted: codes.length,
        done: codes.length - open.length,
        ready: open.length === 0,
        from: codes.slice(0, 3).join(', ') + (codes.length > 3 ? ', …' : ''),
        unit: 'containers' as const,
        href: `/act/${kind}?${new URLSearchParams({ jars: jarIds })}`,
      },
    ];
  });
}

const NOTHING_NAMED = { strainCode: '', generation: null, sizeName: '', runName: '' } as const;

function jobCard(job: BenchJob, farm: FarmFacts, view: LocalFarm, since: readonly OwnEntry[]): JobCard {
  const order = farm.runs.find(({ id }) => id === job.runId)?.order ?? null;
  if (order) return orderCard(job, order, farm, since);
  const done = job.done + doneHere(job, since);
  return {
    id: job.key,
    kind: job.kind,
    title: TITLES[job.kind],
    wanted: job.wanted,
    done: Math.min(job.wanted, done),
    ready: done >= job.wanted * DONE_SHARE,
    strainCode: farm.strains.find(({ id }) => id === job.strainId)?.shortCode ?? '',
    generation: job.generation,
    sizeName: farm.sizes.find(({ id }) => id === job.sizeId)?.name ?? '',
    runName: farm.runs.find(({ id }) => id === job.runId)?.name ?? '',
    from: job.from,
    unit: job.unit,
    href: hrefOf(job, view),
  };
}

/** Grams for an order are told as the jars they are carried in. */
function orderCard(job: BenchJob, order: OrderFacts, farm: FarmFacts, since: readonly OwnEntry[]): JobCard {
  const size = farm.sizes.find(({ id }) => id === order.sizeId);
  const jars = (grams: number) => (size ? jarsInHand(grams, size.ripeG) : 0);
  const done = job.done + doneHere(job, since);
  return {
    ...NOTHING_NAMED,
    ...{ id: job.key, kind: job.kind, title: 'job.handOver' as const, from: job.from, unit: 'containers' as const },
    ...{
      wanted: jars(job.wanted),
      done: Math.min(jars(job.wanted), jars(done)),
      ready: jars(done) >= jars(job.wanted),
    },
    sizeName: size?.name ?? '',
    runName: farm.runs.find(({ id }) => id === job.runId)?.name ?? '',
    href: `/hand-over?${new URLSearchParams({ run: job.runId ?? '' })}`,
  };
}

function doneHere(job: BenchJob, since: readonly OwnEntry[]): number {
  return since.reduce((sum, entry) => sum + doneBy(job, entry), 0);
}

interface Said {
  readonly strainId?: string;
  readonly sizeId?: string;
  readonly runId?: string;
  readonly jars?: readonly unknown[];
  readonly fills?: readonly { readonly sizeId: string; readonly count: number }[];
}

function doneBy(job: BenchJob, entry: OwnEntry): number {
  const { kind, payload } = entry;
  const said = payload as Said;
  switch (job.kind) {
    case 'fill':
      return kind === 'grain_filled'
        ? (said.fills ?? []).filter(({ sizeId }) => sizeId === job.sizeId).reduce((sum, { count }) => sum + count, 0)
        : 0;
    case 'sterilise':
      return kind === 'cycle_started' ? 1 : 0;
    case 'inoculate':
      return kind === 'inoculated' && said.strainId === job.strainId && said.sizeId === job.sizeId
        ? (said.jars?.length ?? 0)
        : 0;
    case 'culture':
      return kind === 'culture_made' && said.strainId === job.strainId ? (said.jars?.length ?? 0) : 0;
    case 'chill':
    case 'warm':
      return 0;
    case 'use':
      return kind === 'drawn_for_run' && said.runId === job.runId ? gramsDrawn(entry) : 0;
  }
}

/** Grams one entry took out, by the jars as they were before and after it. */
function gramsDrawn(entry: OwnEntry): number {
  return entry.images.reduce((sum, { kind, before, after }) => {
    const drawn = (state: typeof after) => (kind === 'jar' ? ((state as Jar | null)?.drawnG ?? 0) : 0);
    return sum + drawn(after) - drawn(before);
  }, 0);
}

function hrefOf(job: BenchJob, view: LocalFarm): string {
  const left = String(Math.max(0, Math.round(job.wanted - job.done)));
  const search = (values: Readonly<Record<string, string | null>>) =>
    new URLSearchParams(Object.entries(values).flatMap(([name, value]) => (value ? [[name, value]] : []))).toString();
  switch (job.kind) {
    case 'fill':
    case 'sterilise':
      return `/prepare?${search({ size: job.sizeId, count: left })}`;
    case 'inoculate': {
      const jars = job.sources.flatMap(({ from }) => view.jarWithCode(from)?.id ?? []).join(',');
      return `/make/inoculate?${search({ strain: job.strainId, size: job.sizeId, count: left, jars })}`;
    }
    case 'culture':
      return `/make/culture?${search({ strain: job.strainId, size: job.sizeId, count: left })}`;
    case 'chill':
    case 'warm':
      return `/act/${job.kind}`;
    case 'use':
      return `/use?${search({ run: job.runId, grams: left })}`;
  }
}
