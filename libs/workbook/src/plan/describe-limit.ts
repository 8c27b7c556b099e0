import type { LimitKind, RunCoverage } from '@jarfold/domain';

const WORDS: Readonly<Record<LimitKind, string>> = {
  time: 'too little time',
  mothers: 'too few mothers',
  generation: 'last generation reached',
  bench: 'bench day full',
  steriliser: 'steriliser full',
  'incubation-places': 'incubation places full',
  'cold-places': 'cold places full',
  'clean-containers': 'too few clean jars',
  'storage-life': 'spawn grows too old',
  culture: 'no culture',
  cost: 'costs more than it brings',
};

/** The limit that keeps a run from its target, in a few words. */
export function limitInBrief({ limit }: RunCoverage): string {
  return limit ? WORDS[limit.kind] : '';
}

/** Why a run falls short: the binding limit, and what would lift it. */
export function describeLimit(run: RunCoverage): string {
  const message = run.limit?.message ?? '';
  return message === '' ? limitInBrief(run) : message;
}
