import { settleAmount } from './draw-amount.js';
import { type AnyEffect, type Change, changeKnown, touch } from './effect.js';
import type { BenchEntry, Draw, EntryOf } from './entry.js';
import { ifStillHere } from './jar-presence.js';
import { sumMassG } from './mass.js';
import { impossible } from './outcome.js';
import type { Jar } from './thing.js';

/** Where drawn spawn went: into the jars of a lot, or into a bulk run. */
export interface DrawTarget {
  readonly lotId: string | null;
  readonly runId: string | null;
}

/** Takes grams out of jars. A jar drawn to nothing is emptied by that. */
export function drawEffects(entry: BenchEntry, draws: readonly Draw[], target: DrawTarget): readonly AnyEffect[] {
  return draws.map((draw) => changeKnown('jar', draw.jarId, (jar) => drawFrom(jar, draw, entry, target)));
}

export function drawnForJarsEffects(entry: EntryOf<'drawn_for_jars'>): readonly AnyEffect[] {
  const { draws, lotId } = entry.payload;
  return [touch('lot', lotId), ...drawEffects(entry, draws, { lotId, runId: null })];
}

export function drawnForRunEffects(entry: EntryOf<'drawn_for_run'>): readonly AnyEffect[] {
  return drawEffects(entry, entry.payload.draws, { lotId: null, runId: entry.payload.runId });
}

/** A draw is never late: once the jar is gone its grams are accounted for, whatever the clocks say. */
function drawFrom(jar: Jar, { amount }: Draw, entry: BenchEntry, target: DrawTarget): Change<Jar> {
  if (jar.blank) return impossible('blank-holds-no-spawn', { kind: 'jar', id: jar.id }, { code: jar.code });
  return ifStillHere(jar, () => {
    const settled = settleAmount(jar, amount);
    if ('impossible' in settled) return settled;
    const { massG, estimated } = settled;
    const left: Jar = {
      ...jar,
      drawnG: sumMassG(jar.drawnG, massG),
      leftG: sumMassG(jar.leftG, -massG),
      openedOn: jar.openedOn ?? entry.day,
    };
    const state =
      left.leftG > 0 ? left : { ...left, goneAtMs: entry.atMs, goneOn: entry.day, goneAs: 'emptied' as const };
    return { state, draw: { entryId: entry.id, jarId: jar.id, massG, estimated, ...target, day: entry.day } };
  });
}
