import type { ContainerSizeJson, Farm, GrainStockItem, Week } from '@jarfold/contracts';
import {
  type BenchPreparation,
  benchPreparation,
  CHALK,
  DomainError,
  findGrain,
  fractionToPercent,
  GYPSUM,
  grainKinds,
  gramsToKilograms,
  heatMethods,
  kilogramsToGrams,
  mineralRecipes,
  type PreparationWanted,
  percentToFraction,
  usualFillShare,
  usualTargetMoisture,
} from '@jarfold/domain';
import { t } from '../../messages/translate.js';
import { readNumber } from '../../ui/read-number.js';

/** Containers of one size, as the boxes hold them. */
export interface LineText {
  readonly jars: string;
  readonly ml: string;
}

/** Everything the calculator is asked, as text: it stands in the address, so that it can be sent to the bench. */
export interface PreparationForm {
  readonly lines: readonly LineText[];
  readonly grain: string;
  readonly own: string;
  readonly density: string;
  readonly target: string;
  readonly fill: string;
  readonly spare: string;
  readonly minerals: string;
  readonly method: string;
  readonly altitude: string;
  readonly rated: string;
  readonly places: string;
  readonly grainOnHand: string;
  readonly sack: string;
  readonly gypsumOnHand: string;
  readonly chalkOnHand: string;
  readonly soak: string;
}

type TextBox = Exclude<keyof PreparationForm, 'lines'>;

const BOXES: readonly TextBox[] = [
  ...(['grain', 'own', 'density', 'target', 'fill', 'spare', 'minerals', 'method', 'altitude', 'rated'] as const),
  ...(['places', 'grainOnHand', 'sack', 'gypsumOnHand', 'chalkOnHand', 'soak'] as const),
];

const plain = (value: number): string => String(Number(value.toPrecision(6)));
const percent = (share: number): string => plain(fractionToPercent(share));

/** What the box of grain on hand is filled with from the stock; empty when that is not known. */
export function onHandBox(stock: readonly GrainStockItem[], grain: string): string {
  const onHandG = stock.find((item) => item.grain.key === grain)?.onHandG ?? null;
  return onHandG === null ? '' : plain(gramsToKilograms(onHandG));
}

/**
 * What the boxes hold before anyone touches them: the farm's settings, published values, the plan's next jars, and the
 * grain in stock.
 */
export function startingForm(farm: Farm, planned: readonly LineText[], grainOnHand: string): PreparationForm {
  const { settings } = farm;
  const grain = findGrain(settings.grain) ?? grainKinds[0]!;
  return {
    lines: planned.length > 0 ? planned : [{ jars: '12', ml: plain(usualSize(farm)?.volumeMl ?? 1000) }],
    ...ofGrain(grain.key),
    target: percent(settings.targetMoisture ?? usualTargetMoisture.value),
    fill: percent(usualFillShare.value),
    spare: '5',
    minerals: mineralRecipes[0]!.key,
    method: heatMethods[0]!.key,
    altitude: plain(settings.altitudeM ?? 0),
    rated: '',
    places: plain(settings.rhythm.vesselPlaces),
    ...{ grainOnHand, sack: '', gypsumOnHand: '', chalkOnHand: '', soak: 'no' },
  };
}

const usualSize = (farm: Farm): ContainerSizeJson | undefined => grainSizes(farm)[0];

/** What grain is filled into: plates, syringes and slants are no matter of this calculator. */
export const grainSizes = (farm: Farm): readonly ContainerSizeJson[] =>
  farm.sizes.filter(({ archived, carrier }) => !archived && carrier === 'grain');

/** A grain's own moisture and density as published; the farm may write its own over them. */
export function ofGrain(key: string): Pick<PreparationForm, 'grain' | 'own' | 'density'> {
  const kind = findGrain(key) ?? grainKinds[0]!;
  return { grain: kind.key, own: percent(kind.moisture.value), density: plain(kind.bulkDensityGPerMl.value * 1000) };
}

/** The jars of one preparation of the plan. */
export const linesOfPlan = (preparation: Week['preparations'][number], farm: Farm): readonly LineText[] =>
  preparation.jars.map(({ size, count }) => ({
    jars: String(count),
    ml: plain(farm.sizes.find(({ id }) => id === size.id)?.volumeMl ?? 1000),
  }));

/** What the address says; a box it does not name keeps its starting value. */
export function formFrom(search: URLSearchParams, start: PreparationForm): PreparationForm {
  const boxes = Object.fromEntries(BOXES.map((box) => [box, search.get(box) ?? start[box]])) as Omit<
    PreparationForm,
    'lines'
  >;
  const [jars, ml] = [search.getAll('jars'), search.getAll('ml')];
  return {
    ...boxes,
    lines: jars.length === 0 ? start.lines : jars.map((each, i) => ({ jars: each, ml: ml[i] ?? '' })),
  };
}

/** The address of a form: always all of its jars, and of the rest what differs from how it starts. */
export function searchOf(form: PreparationForm, start: PreparationForm): URLSearchParams {
  const search = new URLSearchParams();
  for (const { jars, ml } of form.lines) {
    search.append('jars', jars);
    search.append('ml', ml);
  }
  for (const box of BOXES) if (form[box] !== start[box]) search.set(box, form[box]);
  return search;
}

export type Worked =
  | { readonly ok: true; readonly result: BenchPreparation; readonly wanted: PreparationWanted }
  | { readonly ok: false; readonly errors: ReadonlyMap<string, string>; readonly whole: string | null };

/** Works the form out, or says which box is wrong and why. */
export function workOut(form: PreparationForm, farm: Farm): Worked {
  const errors = new Map<string, string>();
  const number = (box: string, text: string, least: number, most: number, empty: number | null = Number.NaN) => {
    const value = readNumber(text) ?? empty;
    if (value !== null && !(value >= least && value <= most))
      errors.set(box, t('preparation.wrongNumber', { least: plain(least), most: plain(most) }));
    return value;
  };
  const share = (box: TextBox, most: number) => percentToFraction(number(box, form[box], 0, most)!);
  const massG = (box: TextBox) => kilogramsToGrams(number(box, form[box], 0, 100_000, 0)!);
  const lines = form.lines.map(({ jars, ml }, i) => {
    const count = number(`jars${i}`, jars, 0, 5000)!;
    if (!errors.has(`jars${i}`) && !Number.isInteger(count)) errors.set(`jars${i}`, t('preparation.wholeJars'));
    const volumeMl = number(`ml${i}`, ml, 20, 15_000)!;
    return { count, volumeMl, vesselPlaces: placesOf(volumeMl, farm) };
  });
  const kind = findGrain(form.grain) ?? grainKinds[0]!;
  const sackG = number('sack', form.sack, 0.1, 2000, null);
  const stock = [
    { item: kind.name, onHandG: massG('grainOnHand'), packG: sackG === null ? null : kilogramsToGrams(sackG) },
    { item: GYPSUM, onHandG: massG('gypsumOnHand'), packG: null },
    { item: CHALK, onHandG: massG('chalkOnHand'), packG: null },
  ];
  const wanted: PreparationWanted = {
    lines,
    fillShare: share('fill', 100),
    grain: {
      name: kind.name,
      bulkDensityGPerMl: number('density', form.density, 100, 1500)! / 1000,
      moisture: share('own', 60),
    },
    targetMoisture: share('target', 80),
    spareShare: share('spare', 50),
    minerals: mineralRecipes.find(({ key }) => key === form.minerals) ?? mineralRecipes[0]!,
    method: heatMethods.find(({ key }) => key === form.method) ?? heatMethods[0]!,
    altitudeM: number('altitude', form.altitude, -500, 6000, 0)!,
    ratedGaugeKpa: number('rated', form.rated, 1, 1000, null),
    vesselPlaces: number('places', form.places, 1, 100_000)!,
    stock,
  };
  if (errors.size > 0) return { ok: false, errors, whole: null };
  try {
    return { ok: true, wanted, result: benchPreparation(wanted) };
  } catch (error) {
    if (error instanceof DomainError) return { ok: false, errors, whole: error.message };
    throw error;
  }
}

/** Room in the steriliser as the farm says of the size; a size it does not know, by its volume. */
function placesOf(volumeMl: number, farm: Farm): number {
  return farm.sizes.find((size) => size.volumeMl === volumeMl)?.vesselPlaces ?? Math.max(0.1, volumeMl / 1000);
}
