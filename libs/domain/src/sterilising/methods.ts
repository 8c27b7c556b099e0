import { requireThat } from '../errors.js';
import { customary, type Published, published } from '../species/published-value.js';

export type MethodKey = 'pressure' | 'boiling_water_steam' | 'two_day_steam' | 'twelve_hour_steam';

/** A way of treating filled jars, with what it aims for itself, and what it does and does not achieve. */
export interface HeatMethod {
  readonly key: MethodKey;
  readonly name: string;
  readonly holdMin: Published;
  /** Temperature the hold must keep; null: the boiling point at the farm's altitude. */
  readonly temperatureC: number | null;
  readonly treatments: number;
  /** F0 in the load that the method itself aims for; null where it does not claim to sterilise. */
  readonly f0TargetMin: number | null;
  /** Said once, when the method is chosen; not with every load. */
  readonly achieves: string;
}

export const heatMethods: readonly HeatMethod[] = [
  {
    key: 'pressure',
    name: 'Pressure, 15 psi',
    holdMin: published(60, 'GGMM', 'copy', {
      range: [60, 240],
      note: 'jars up to a litre; larger ones longer, p. 131',
    }),
    temperatureC: 121.1,
    treatments: 1,
    f0TargetMin: 15,
    achieves: 'Kills heat-resistant spores when every jar is at 121 °C for at least 15 minutes (GGMM p. 172).',
  },
  {
    key: 'boiling_water_steam',
    name: 'Boiling water, lid on',
    holdMin: customary(60, { range: [40, 60] }),
    temperatureC: null,
    treatments: 1,
    f0TargetMin: null,
    achieves:
      'Kills moulds, yeasts and growing bacteria. It does not kill heat-resistant spores: expect sour jars now and then, more in wet grain.',
  },
  {
    key: 'two_day_steam',
    name: 'Steaming on consecutive days',
    holdMin: customary(60, {
      range: [20, 60],
      note: 'general microbiology texts: three days, described as not fully reliable',
    }),
    temperatureC: null,
    treatments: 2,
    f0TargetMin: null,
    achieves:
      'Spores that wake between the days die in the next steaming. Those that sleep on survive: better than one boiling, not sterile.',
  },
  {
    key: 'twelve_hour_steam',
    name: 'Twelve hours of steam',
    holdMin: published(720, 'GGMM', 'copy', { range: [600, 1080], note: 'for sawdust, p. 172' }),
    temperatureC: null,
    treatments: 1,
    f0TargetMin: null,
    achieves:
      'At 100 °C twelve hours are worth an F0 of about 5.6 minutes at sea level, less at altitude: enough for most loads, not for all spores.',
  },
];

/** Minutes of hold by jar size under pressure (GGMM p. 131, seen as a copy): litre 60, half gallon 90, gallon 120, bag of 3.3 kg 240. */
const holdBySize: readonly { readonly upToMl: number; readonly holdMin: Published }[] = [
  { upToMl: 1000, holdMin: published(60, 'GGMM', 'copy') },
  { upToMl: 2000, holdMin: published(90, 'GGMM', 'copy') },
  { upToMl: 4000, holdMin: published(120, 'GGMM', 'copy') },
  { upToMl: 15_000, holdMin: published(240, 'GGMM', 'copy', { note: 'bag of 3.3 kg dry grain' }) },
];

/**
 * Published hold under pressure for a jar, counted from when the load, not the gauge, is hot.
 * @throws DomainError `jar-volume-out-of-range` above 15 litres or not above 0
 */
export function pressureHoldMin(jarVolumeMl: number): Published {
  const row = holdBySize.find(({ upToMl }) => jarVolumeMl > 0 && jarVolumeMl <= upToMl);
  requireThat(
    row !== undefined,
    'jar-volume-out-of-range',
    `There is no published hold for a container of ${jarVolumeMl} ml.`,
  );
  return row.holdMin;
}

/** Every published number of the methods, for the page of sources. */
export const publishedHolds: readonly Published[] = [
  ...heatMethods.map(({ holdMin }) => holdMin),
  ...holdBySize.map(({ holdMin }) => holdMin),
];
