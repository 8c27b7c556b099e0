import { addDays } from '../../calendar/calendar-day.js';
import type { ContainerSize, FarmSituation, StockContainer } from '../../planning/situation.js';
import { survivalWhenClean } from '../../rates/survival-of-growing.js';
import type { Morning } from '../policy.js';
import type { SeasonJar } from '../season-jar.js';
import type { SeasonCultures } from './season-cultures.js';
import { LITTLE_GRAMS, type SeasonStock } from './season-stock.js';

/** What the farm sees on the morning of a day, and nothing else. */
export function morningOf(stock: SeasonStock, cultures: SeasonCultures, day: number, horizonDays: number): Morning {
  const { start, runs } = stock.farm;
  const asOf = stock.dateOf(day);
  const seen: FarmSituation = {
    ...start,
    asOf,
    horizonDays,
    sizes: start.sizes.map((size, place): ContainerSize => ({ ...size, cleanEmpty: stock.clean[place]! })),
    strains: start.strains.map((strain, place) => cultures.asKnown(strain, place)),
    stock: stock.jars.filter((jar) => looksUsable(stock, jar, day)).map((jar) => seenJar(stock, jar, day)),
    runs: runs
      .filter(({ run, knownOn }) => knownOn <= asOf && run.day >= asOf && run.day <= addDays(asOf, horizonDays))
      .map(({ run }) => run),
  };
  const inTime = (benchDay: number) => benchDay - start.rhythm.preparationLeadDays >= day;
  return { seen, day, benchDays: stock.benchDays(day, day + 7).filter(inTime) };
}

function looksUsable(stock: SeasonStock, jar: SeasonJar, day: number): boolean {
  if (jar.gramsLeft <= LITTLE_GRAMS) return false;
  return jar.state === 'incubating' || stock.knownUntil(jar) >= day || jar.generation === 0;
}

function seenJar(stock: SeasonStock, jar: SeasonJar, day: number): StockContainer {
  const strain = stock.strainOf(jar);
  const growing = jar.state === 'incubating';
  const orNull = (at: number | null) => (at === null ? null : stock.dateOf(at));
  const age = Math.max(0, Math.min(day - jar.madeDay, strain.daysToRipe));
  const survival = growing
    ? Math.round(survivalWhenClean(strain.lossRate, age, strain.daysToRipe, null) * 100) / 100
    : 1;
  return {
    code: jar.code,
    strainId: strain.id,
    generation: jar.generation,
    sizeId: stock.farm.start.sizes[jar.size]!.id,
    state: jar.state,
    madeOn: stock.dateOf(jar.madeDay),
    ripeOn: growing ? null : orNull(jar.seenRipeDay),
    chilledOn: orNull(jar.chilledDay),
    openedOn: orNull(jar.openedDay),
    gramsLeft: growing ? 0 : jar.gramsLeft,
    roomId: null,
    keptAsMother: jar.keptAsMother,
    survival,
  };
}
