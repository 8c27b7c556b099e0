import type { Jar } from '@jarfold/domain';
import type { MessageKey } from '../../messages/translate.js';
import type { BenchJob, FarmFacts, LocalFarm, OwnEntry } from '../../offline/index.js';

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

/**
 * Today's jobs, ticking themselves off: what the server counted plus what this tablet has logged since.
 * @param since own entries the farm's picture does not contain
 */
export function todaysJobs(farm: FarmFacts, view: LocalFarm, since: readonly OwnEntry[]): readonly JobCard[] {
  return farm.jobs.jobs.map((job) => {
    const done = job.done + doneHere(job, view, since);
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
  });
}

function doneHere(job: BenchJob, view: LocalFarm, since: readonly OwnEntry[]): number {
  return since.reduce((sum, entry) => sum + doneBy(job, view, entry), 0);
}

interface Said {
  readonly strainId?: string;
  readonly sizeId?: string;
  readonly runId?: string;
  readonly jars?: readonly unknown[];
  readonly jarIds?: readonly string[];
  readonly fills?: readonly { readonly sizeId: string; readonly count: number }[];
}

function doneBy(job: BenchJob, view: LocalFarm, entry: OwnEntry): number {
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
      return kind === 'chilled' ? ofStrain(view, said.jarIds, job.strainId) : 0;
    case 'warm':
      return kind === 'warmed' ? ofStrain(view, said.jarIds, job.strainId) : 0;
    case 'use':
      return kind === 'drawn_for_run' && said.runId === job.runId ? gramsDrawn(entry) : 0;
  }
}

function ofStrain(view: LocalFarm, jarIds: readonly string[] | undefined, strainId: string | null): number {
  return (jarIds ?? []).filter((id) => view.thing('jar', id)?.strainId === strainId).length;
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
      return `/act/${job.kind}?${search({ jars: job.from ? (view.jarWithCode(job.from)?.id ?? null) : null })}`;
    case 'use':
      return `/use?${search({ run: job.runId, grams: left })}`;
  }
}
