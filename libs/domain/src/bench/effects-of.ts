import { drawnForJarsEffects, drawnForRunEffects } from './drawing-effects.js';
import { type AnyEffect, create } from './effect.js';
import type { ActionEntry, EntryOf } from './entry.js';
import type { EntryFacts } from './facts.js';
import {
  checkedEffects,
  chilledEffects,
  contaminationEffects,
  goneEffects,
  motherEffects,
  movedEffects,
  notedEffects,
  openedEffects,
  regrowthEffects,
  shakenEffects,
  warmedEffects,
} from './jar-effects.js';
import { blankEffects, cultureEffects, inoculationEffects, receivedEffects } from './making-effects.js';
import { roundMassG } from './mass.js';
import {
  countedEffects,
  cycleCooledEffects,
  cycleEndedEffects,
  cycleHeldEffects,
  cycleStartedEffects,
  grainEffects,
  washedEffects,
} from './preparation-effects.js';

type ActionKind = ActionEntry['kind'];
type EffectsOfKind = { readonly [K in ActionKind]: (entry: EntryOf<K>, facts: EntryFacts) => readonly AnyEffect[] };

const EFFECTS: EffectsOfKind = {
  grain_soaked: grainEffects,
  grain_simmered: grainEffects,
  grain_drained: grainEffects,
  grain_rested: grainEffects,
  grain_filled: grainEffects,
  cycle_started: cycleStartedEffects,
  cycle_held: cycleHeldEffects,
  cycle_ended: cycleEndedEffects,
  cycle_cooled: cycleCooledEffects,
  culture_made: cultureEffects,
  received: receivedEffects,
  inoculated: inoculationEffects,
  blanks_kept: blankEffects,
  checked: checkedEffects,
  contamination_found: contaminationEffects,
  shaken: shakenEffects,
  moved: movedEffects,
  chilled: chilledEffects,
  warmed: warmedEffects,
  mother_kept: motherEffects,
  mother_released: motherEffects,
  opened: openedEffects,
  drawn_for_jars: drawnForJarsEffects,
  drawn_for_run: drawnForRunEffects,
  emptied: goneEffects,
  washed: washedEffects,
  containers_counted: countedEffects,
  broken: goneEffects,
  discarded: goneEffects,
  regrowth_tested: regrowthEffects,
  harvested: harvestedEffects,
  noted: notedEffects,
  settled: () => [],
};

/** Everything an entry does, thing by thing. */
export function effectsOf(entry: ActionEntry, facts: EntryFacts): readonly AnyEffect[] {
  const effects = EFFECTS[entry.kind] as (entry: ActionEntry, facts: EntryFacts) => readonly AnyEffect[];
  return effects(entry, facts);
}

function harvestedEffects(entry: EntryOf<'harvested'>): readonly AnyEffect[] {
  const { runId, flush, massG } = entry.payload;
  return [
    create('harvest', entry.id, () => ({
      id: entry.id,
      runId,
      flush,
      massG: roundMassG(massG),
      harvestedOn: entry.day,
    })),
  ];
}
