import { customary, type Published, published } from '../species/published-value.js';

/** One step of preparing grain, with the usual time. Guidance: the drying test and the look of the kernels decide. */
export interface PreparationStep {
  readonly key: 'soak' | 'simmer' | 'stand' | 'drain' | 'rest';
  readonly minutes: Published;
  /** What to look for, and what goes wrong. */
  readonly advice: string;
}

const soak: PreparationStep = {
  key: 'soak',
  minutes: published(1080, 'GGMM', 'copy', { range: [720, 1440], note: 'p. 129' }),
  advice: 'Cover with water by a hand’s width; heat-resistant spores begin to grow and die in the heat that follows.',
};

const simmer: PreparationStep = {
  key: 'simmer',
  minutes: customary(15, {
    range: [10, 60],
    note: 'about an hour of steeping in GGMM p. 128; 15 minutes for wheat (ICAR)',
  }),
  advice: 'Soft to the bite but whole: a burst kernel feeds bacteria. Never leave a pot on the fire alone.',
};

const stand: PreparationStep = {
  key: 'stand',
  minutes: published(15, 'ICAR', 'copy', { range: [10, 20] }),
  advice: 'Off the heat, lid on.',
};

const drain: PreparationStep = {
  key: 'drain',
  minutes: customary(30, { range: [15, 90] }),
  advice: 'Until kernels no longer wet a paper towel; wet kernels clump and turn sour.',
};

const rest: PreparationStep = {
  key: 'rest',
  minutes: customary(1080, { range: [720, 1440] }),
  advice: 'Cool and covered, before filling: spores that survived the simmer begin to grow and die in the vessel.',
};

/** The steps from dry grain to filled jar, in order. With a long soak first, the rest after simmering falls away. */
export function preparationSteps(presoaked: boolean): readonly PreparationStep[] {
  return presoaked ? [soak, simmer, drain] : [simmer, stand, drain, rest];
}
