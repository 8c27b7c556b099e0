import { type CalendarDay, canSpawnSubstrate, type Jar } from '@jarfold/domain';
import type { FarmFacts, LocalFarm, OrderFacts, RunFacts } from '../../offline/index.js';
import { type JarFacts, jarFacts, jarsOnHand } from './jar-facts.js';

/** A jar the tablet proposes, with what of it and the reason it can say aloud. */
export interface ProposedJar {
  readonly facts: JarFacts;
  readonly grams: number;
  readonly why: 'opened' | 'expires-first' | 'planned';
}

const USABLE = ['ripe', 'chilled', 'opened'] as const;

/**
 * The jars to take for a run: opened ones first because they keep shortest, then by the last good day, the soonest first.
 * Mothers kept back, cultures on agar or in liquid and jars past their life are left standing; a person may still take them.
 */
export function proposeForRun(
  farm: FarmFacts,
  view: LocalFarm,
  run: RunFacts,
  neededG: number,
  today: CalendarDay,
): readonly ProposedJar[] {
  const usable = usableJars(farm, view, today).filter(
    ({ jar, size }) =>
      run.strainIds.includes(jar.strainId ?? '') &&
      !jar.keptAsMother &&
      jar.leftG > 0 &&
      (size === null || canSpawnSubstrate(size.carrier)),
  );
  const proposed: ProposedJar[] = [];
  let leftG = neededG;
  for (const facts of usable.sort(soonestFirst)) {
    if (leftG <= 0) break;
    const grams = Math.min(leftG, facts.jar.leftG);
    proposed.push({ facts, grams, why: facts.state === 'opened' ? 'opened' : 'expires-first' });
    leftG -= grams;
  }
  return proposed;
}

/** What an order can be given: a whole, unopened jar of its size that holds spawn. */
export function fitsOrder(jar: Jar, { sizeId }: Pick<OrderFacts, 'sizeId'>): boolean {
  return !jar.blank && jar.sizeId === sizeId && jar.openedOn === null && jar.leftG > 0 && jar.leftG >= jar.madeG;
}

/**
 * The jars to hand over for an order: ripe, of a strain it names, by the last good day, the soonest first. Mothers kept
 * back are left standing; a person may still take them.
 */
export function proposeForOrder(
  farm: FarmFacts,
  view: LocalFarm,
  run: RunFacts & { readonly order: OrderFacts },
  today: CalendarDay,
): readonly JarFacts[] {
  const { jars, handedOver } = run.order;
  return usableJars(farm, view, today)
    .filter(({ jar }) => run.strainIds.includes(jar.strainId ?? '') && !jar.keptAsMother && fitsOrder(jar, run.order))
    .sort(soonestFirst)
    .slice(0, Math.max(0, jars - handedOver));
}

/** Ripe jars that could mother new ones of a strain, the best first: kept as mothers, then the soonest to expire. */
export function proposeMothers(
  farm: FarmFacts,
  view: LocalFarm,
  strainId: string,
  today: CalendarDay,
): readonly JarFacts[] {
  const usable = usableJars(farm, view, today).filter(({ jar }) => jar.strainId === strainId && jar.leftG > 0);
  return usable.sort((a, b) => Number(b.jar.keptAsMother) - Number(a.jar.keptAsMother) || soonestFirst(a, b));
}

interface Usable {
  readonly version: number;
  readonly farm: FarmFacts;
  readonly today: CalendarDay;
  readonly jars: readonly JarFacts[];
}
const worked = new WeakMap<LocalFarm, Usable>();

/** A screen asks at every drawing: the life of thousands of jars is worked out once for the farm as it stands. */
function usableJars(farm: FarmFacts, view: LocalFarm, today: CalendarDay): readonly JarFacts[] {
  const known = worked.get(view);
  if (known?.version === view.version && known.farm === farm && known.today === today) return known.jars;
  const jars = jarsOnHand(view)
    .filter(({ blank }) => !blank)
    .map((jar) => jarFacts(farm, jar, today))
    .filter(({ state, life }) => USABLE.includes(state as (typeof USABLE)[number]) && (life?.daysLeft ?? 0) >= 0);
  worked.set(view, { version: view.version, farm, today, jars });
  return jars;
}

function soonestFirst(a: JarFacts, b: JarFacts): number {
  const opened = Number(b.state === 'opened') - Number(a.state === 'opened');
  if (opened !== 0) return opened;
  const [lastA, lastB] = [a.life?.expiresOn ?? '9999', b.life?.expiresOn ?? '9999'];
  if (lastA !== lastB) return lastA < lastB ? -1 : 1;
  return a.jar.code < b.jar.code ? -1 : 1;
}
