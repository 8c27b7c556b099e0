import type { Jar } from '@jarfold/contracts';
import type { CalendarDay, DayEvent } from '@jarfold/domain';
import { groupedBy } from '@jarfold/domain';
import type { SpawnPlan } from '@jarfold/domain/planning';
import type { RunRow } from '../runs/index.js';
import type { FarmNames } from '../stock/index.js';

export interface FeedFacts {
  readonly names: FarmNames;
  readonly plan: SpawnPlan | null;
  readonly runs: readonly RunRow[];
  readonly jars: readonly Jar[];
}

/** Days of bench, preparation, checks, bulk runs and ageing out, each day's of a kind together. */
export function feedEvents(facts: FeedFacts): DayEvent[] {
  return [...benchDays(facts), ...preparations(facts), ...checks(facts), ...runDays(facts), ...ageOuts(facts)].sort(
    (a, b) => a.day.localeCompare(b.day) || a.id.localeCompare(b.id),
  );
}

/** What concerns who works at the bench; leads and owners also see runs and what ages out. */
export const BENCH_CATEGORIES: ReadonlySet<string> = new Set(['Bench day', 'Preparation', 'Check']);

function benchDays({ names, plan }: FeedFacts): DayEvent[] {
  return [...groupedBy(plan?.starts ?? [], ({ benchDay }) => benchDay)].map(([day, starts]) => ({
    ...{ id: `bench-${day}`, day, category: 'Bench day' },
    summary: `Bench day: ${jars(sum(starts.map(({ containers }) => containers)))}`,
    description: starts
      .map(({ containers, strainId, generation, sizeId }) =>
        [`${jars(containers)} ${names.strains.get(strainId)?.code ?? ''} G${generation}`, names.sizes.get(sizeId)?.name]
          .filter(Boolean)
          .join(', '),
      )
      .join('\n'),
  }));
}

function preparations({ names, plan }: FeedFacts): DayEvent[] {
  return (plan?.preparations ?? []).map(({ day, benchDay, cycles, containers }) => ({
    ...{ id: `preparation-${day}-${benchDay}`, day, category: 'Preparation' },
    summary: `Prepare ${jars(sum(containers.map(({ count }) => count)))}, ${cycles} ${cycles === 1 ? 'load' : 'loads'}`,
    description: containers.map(({ sizeId, count }) => `${count} × ${names.sizes.get(sizeId)?.name ?? ''}`).join('\n'),
  }));
}

/** Jars that should be ripe by now are looked at on the day they are expected to be. */
function checks({ jars: standing }: FeedFacts): DayEvent[] {
  const due = standing.filter(({ state, ripeOn }) => state === 'incubating' && ripeOn !== null);
  return [...groupedBy(due, ({ ripeOn }) => ripeOn as CalendarDay)].map(([day, group]) => ({
    ...{ id: `check-${day}`, day, category: 'Check' },
    summary: `Check ${jars(group.length)}: ripe by now?`,
    description: codes(group),
  }));
}

function runDays({ runs }: FeedFacts): DayEvent[] {
  return runs.map((run) => ({
    ...{ id: `run-${run.id}`, day: run.day },
    ...(run.kind === 'bulk'
      ? {
          ...{ category: 'Bulk run', summary: `Bulk run ${run.name}` },
          description: `${Math.round(run.targetGrams)} g of spawn wanted`,
        }
      : {
          ...{ category: 'Order', summary: `Order ${run.name}` },
          description: `${jars(run.jars)}, ${run.sizeName}, to hand over`,
        }),
  }));
}

function ageOuts({ jars: standing }: FeedFacts): DayEvent[] {
  const ageing = standing.filter(({ state, expiresOn }) => state !== 'incubating' && expiresOn !== null);
  return [...groupedBy(ageing, ({ expiresOn }) => expiresOn as CalendarDay)].map(([day, group]) => ({
    ...{ id: `ageing-${day}`, day, category: 'Ageing out' },
    summary: `Last good day of ${jars(group.length)}`,
    description: codes(group),
  }));
}

const codes = (group: readonly Jar[]) => group.map(({ code }) => code).join('\n');
const jars = (count: number) => `${count} ${count === 1 ? 'jar' : 'jars'}`;
const sum = (values: readonly number[]) => values.reduce((total, value) => total + value, 0);
