import {
  type CalendarDay,
  drawnShare,
  type Jar,
  jarState,
  type OnHandState,
  type StorageLife,
  storageLife,
} from '@jarfold/domain';
import type { FarmFacts, LocalFarm, SizeFacts, StrainFacts } from '../../offline/index.js';
import type { GlassProps } from '../../ui/drawing/Glass.js';

/** A culture plate or slant is good for a season; the desk works with the farm's own figure. Common practice, no source. */
const CULTURE_LIFE_DAYS = 180;

/** A jar with what the bench needs to say about it. */
export interface JarFacts {
  readonly jar: Jar;
  readonly strain: StrainFacts | null;
  readonly size: SizeFacts | null;
  readonly state: OnHandState | 'emptied' | 'discarded' | 'broken';
  readonly life: StorageLife | null;
  readonly drawnShare: number;
}

export function jarFacts(farm: FarmFacts, jar: Jar, today: CalendarDay): JarFacts {
  const strain = farm.strains.find(({ id }) => id === jar.strainId) ?? null;
  const size = farm.sizes.find(({ id }) => id === jar.sizeId) ?? null;
  const plain = jarState(jar);
  const state = jar.goneAs === null && jar.contaminatedOn !== null ? 'contaminated' : plain;
  if (state === 'emptied' || state === 'discarded' || state === 'broken') {
    return { jar, strain, size, state, life: null, drawnShare: 0 };
  }
  return {
    jar,
    strain,
    size,
    state,
    life: lifeOf(farm, jar, strain, state, today),
    drawnShare: shareOf(jar, strain, state, today),
  };
}

export function jarsOnHand(view: LocalFarm): readonly Jar[] {
  return [...view.all('jar')].filter(({ goneAs }) => goneAs === null);
}

function lifeOf(farm: FarmFacts, jar: Jar, strain: StrainFacts | null, state: OnHandState, today: CalendarDay) {
  if (!strain) return null;
  const { daysToRipe, warmLifeDays, coldLifeDays } = strain;
  const { openedLifeDays } = farm.settings;
  const rules = { daysToRipe, warmLifeDays, coldLifeDays, openedLifeDays, cultureLifeDays: CULTURE_LIFE_DAYS };
  return storageLife({ ...jar, state, generation: jar.generation ?? 0 }, rules, today);
}

function shareOf(jar: Jar, strain: StrainFacts | null, state: OnHandState, today: CalendarDay): number {
  if (jar.blank) return jar.colonisedShare ?? 0;
  const { colonisedShare: shareColonised, madeOn } = jar;
  return drawnShare({ state, shareColonised, madeOn }, strain?.daysToRipe ?? 14, today);
}

/** How it is drawn: what is wrong outweighs what it is for, and each has its own shape. */
export function lookOf({ jar, state, life, drawnShare: colonised }: JarFacts): GlassProps {
  const filled = jar.madeG > 0 ? Math.max(0.15, jar.leftG / jar.madeG) : 1;
  const base: GlassProps = { colonised, filled, opened: jar.openedOn !== null };
  if (jar.goneAs) return { colonised: 0, filled: 0, opened: true };
  if (state === 'contaminated') return { ...base, mark: 'contaminated' };
  if (life?.freshness === 'past' || life?.freshness === 'soon') return { ...base, mark: 'stranded' };
  if (jar.keptAsMother) return { ...base, mark: 'mother' };
  if (state === 'chilled') return { ...base, mark: 'chilled' };
  return state === 'ripe' ? { ...base, mark: 'ripe' } : base;
}
