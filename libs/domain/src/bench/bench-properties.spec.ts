import { describe, expect, it } from '@jest/globals';
import fc from 'fast-check';
import { addDays, calendarDay } from '../calendar/calendar-day.js';
import { admit } from './admission.js';
import { canonicalJson } from './canonical-json.js';
import { CodeBook } from './code-book.js';
import { deriveThings, type LoggedEntry, voidedEntries } from './correction.js';
import { thingsOf } from './decide.js';
import { type DrawRecord, thingKey } from './effect.js';
import type { BenchEntry, Draw } from './entry.js';
import type { EntryFacts } from './facts.js';
import { BenchLedger, type BenchSettings } from './ledger.js';
import { sumMassG } from './mass.js';
import type { ThingRef } from './thing.js';

const DAY = calendarDay('2026-01-05');
const DAY_MS = 86_400_000;
const JARS = ['j0', 'j1', 'j2', 'j3', 'j4', 'j5', 'j6', 'j7'];
const LOTS = ['l0', 'l1', 'l2', 'l3'];

const settings: BenchSettings = {
  strain: () => ({ shortCode: 'OY', lastGeneration: 3, mayBeChilled: true }),
  size: () => ({ ripeG: 300 }),
  hasShelf: () => true,
  run: () => ({ strainIds: ['s'], open: true }),
};

/** Few things and many entries, so that draws collide, jars run out and corrections find something in their way. */
const jarId = fc.constantFrom(...JARS);
const amount = fc.oneof(
  {
    weight: 4,
    arbitrary: fc.integer({ min: 1, max: 2500 }).map((tenths) => ({ by: 'grams', massG: tenths / 10 }) as const),
  },
  {
    weight: 1,
    arbitrary: fc.constantFrom({ by: 'half' } as const, { by: 'all_but_bottom' } as const, { by: 'all' } as const),
  },
);
const draws = fc.uniqueArray(fc.record({ jarId, amount }), {
  minLength: 1,
  maxLength: 3,
  selector: (draw: Draw) => draw.jarId,
});
const jarIds = fc.uniqueArray(jarId, { minLength: 1, maxLength: 3 });
const newJars = fc.uniqueArray(
  jarId.map((id) => ({ id })),
  { minLength: 1, maxLength: 3, selector: ({ id }) => id },
);
const lotId = fc.constantFrom(...LOTS);

const action = fc.oneof(
  fc.record({ kind: fc.constant('received' as const), lotId, jars: newJars }),
  fc.record({ kind: fc.constant('inoculated' as const), lotId, jars: newJars, mothers: draws }),
  fc.record({ kind: fc.constant('drawn_for_run' as const), draws }),
  fc.record({ kind: fc.constant('drawn_for_jars' as const), lotId, draws }),
  fc.record({ kind: fc.constantFrom('emptied' as const, 'broken' as const), jarIds }),
  fc.record({
    kind: fc.constantFrom('chilled' as const, 'warmed' as const, 'shaken' as const, 'opened' as const),
    jarIds,
  }),
  fc.record({ kind: fc.constantFrom('mother_kept' as const, 'mother_released' as const), jarIds }),
  fc.record({
    kind: fc.constant('checked' as const),
    jarId,
    netG: fc.option(fc.integer({ min: 0, max: 4000 }), { nil: undefined }),
  }),
  fc.record({ kind: fc.constant('washed' as const), count: fc.integer({ min: 1, max: 9 }) }),
  fc.record({ kind: fc.constant('containers_counted' as const), cleanEmpty: fc.integer({ min: 0, max: 9 }) }),
);
type Action = typeof action extends fc.Arbitrary<infer T> ? T : never;
const step = fc.record({ action, lateDays: fc.constantFrom(0, 0, 0, 2) });
/** A correction of the n-th entry so far, among the steps. */
const history = fc.array(
  fc.oneof({ weight: 5, arbitrary: step }, { weight: 1, arbitrary: fc.record({ corrects: fc.nat(30) }) }),
  {
    minLength: 5,
    maxLength: 40,
  },
);

function entryOf(action: Action, index: number, lateDays: number): BenchEntry {
  const day = addDays(DAY, Math.max(0, index - lateDays));
  const base = {
    id: `e${index}`,
    staffId: 'p',
    atMs: Date.parse(`${day}T08:00:00Z`) + (index % 7) * (DAY_MS / 10),
    day,
  };
  return { ...base, kind: action.kind, payload: payloadOf(action, index) } as BenchEntry;
}

function payloadOf(action: Action, index: number): unknown {
  const newLot = { strainId: 's', sizeId: 'z', container: 'jar', carrier: 'grain', code: `CODE-${index}` };
  switch (action.kind) {
    case 'received':
      return { ...newLot, lotId: action.lotId, generation: 1, jars: action.jars };
    case 'inoculated':
      return { ...newLot, lotId: action.lotId, jars: action.jars, mothers: action.mothers };
    case 'drawn_for_run':
      return { runId: 'r', draws: action.draws };
    case 'checked':
      return { jars: [{ jarId: action.jarId, netG: action.netG === undefined ? undefined : action.netG / 10 }] };
    case 'washed':
      return { sizeId: 'z', count: action.count };
    case 'containers_counted':
      return { sizeId: 'z', cleanEmpty: action.cleanEmpty };
    default: {
      const { kind: _kind, ...payload } = action;
      return payload;
    }
  }
}

class Log {
  readonly ledger = new BenchLedger(settings, new CodeBook());
  readonly entries: LoggedEntry[] = [];

  record(entry: BenchEntry): boolean {
    const decision = entry.kind === 'corrected' ? this.ledger.correct(entry, this.entries) : this.ledger.apply(entry);
    if (decision.outcome === 'refused') return false;
    this.entries.push({
      position: this.entries.length + 1,
      entry,
      facts: 'facts' in decision ? (decision.facts as EntryFacts) : {},
    });
    return true;
  }

  play(steps: typeof history extends fc.Arbitrary<infer T> ? T : never): this {
    for (const [index, item] of steps.entries()) {
      if ('action' in item) this.record(entryOf(item.action, index, item.lateDays));
      else if (this.entries.length > 0) this.record(this.correction(item.corrects, index));
    }
    return this;
  }

  correction(choice: number, index: number): BenchEntry {
    const target = this.entries[choice % this.entries.length]!.entry.id;
    const day = addDays(DAY, index);
    const base = { id: `e${index}`, staffId: 'p', atMs: Date.parse(`${day}T20:00:00Z`), day };
    return { ...base, kind: 'corrected', payload: { entryId: target, reason: 'slip' } };
  }

  /** Every thing that ever stood, as it stands now. */
  state(): Record<string, unknown> {
    return Object.fromEntries(
      this.refs()
        .map((ref) => [thingKey(ref), this.ledger.thing(ref.kind, ref.id) ?? null])
        .filter(([, state]) => state !== null),
    );
  }

  refs(): readonly ThingRef[] {
    const actions = this.entries.flatMap(({ entry }) => (entry.kind === 'corrected' ? [] : thingsOf(entry)));
    return [...new Map(actions.map((ref) => [thingKey(ref), ref])).values()];
  }

  draws(): readonly DrawRecord[] {
    return this.ledger.changes().draws;
  }
}

const byKey = (draws: readonly DrawRecord[]) => draws.map((draw) => canonicalJson(draw)).sort();
const without = <T extends object>(value: T, ...keys: readonly string[]) =>
  Object.fromEntries(Object.entries(value).filter(([key]) => !keys.includes(key)));

describe('any legal history', () => {
  it('conserves grams in every container: made = drawn + left + discarded, and the draws add up', () => {
    fc.assert(
      fc.property(history, (steps) => {
        const log = new Log().play(steps);
        for (const id of JARS) {
          const jar = log.ledger.thing('jar', id);
          if (!jar) continue;
          expect(sumMassG(jar.drawnG, jar.leftG, jar.discardedG)).toBe(jar.madeG);
          expect(Math.min(jar.drawnG, jar.leftG, jar.discardedG)).toBeGreaterThanOrEqual(0);
          const drawn = log.draws().filter((draw) => draw.jarId === id);
          expect(sumMassG(0, ...drawn.map(({ massG }) => massG))).toBe(jar.drawnG);
        }
      }),
      { numRuns: 150 },
    );
  });

  it('is the same derived again from the standing entries as applied one by one', () => {
    fc.assert(
      fc.property(history, (steps) => {
        const log = new Log().play(steps);
        const voided = voidedEntries(log.entries);
        const derived = deriveThings(
          log.refs(),
          log.entries.filter(({ entry }) => !voided.has(entry.id)),
        );
        if (derived.outcome === 'refused') throw new Error(`cannot be derived: ${derived.reason}`);
        const standing = derived.things.filter(({ state }) => state !== null);
        expect(Object.fromEntries(standing.map((thing) => [thingKey(thing), thing.state]))).toEqual(log.state());
        expect(byKey(derived.draws)).toEqual(byKey(log.draws()));
      }),
      { numRuns: 150 },
    );
  });

  it('after a correction is the history that never held the corrected entry', () => {
    let corrected = 0;
    fc.assert(
      fc.property(fc.array(step, { minLength: 5, maxLength: 30 }), fc.nat(30), (steps, choice) => {
        const log = new Log().play(steps);
        fc.pre(log.entries.length > 0);
        const applied = log.entries.map(({ entry }) => entry);
        const correction = log.correction(choice, steps.length);
        fc.pre(log.record(correction));
        corrected += 1;
        const never = new Log();
        const target = (correction.payload as { entryId: string }).entryId;
        for (const entry of applied) if (entry.id !== target) expect(never.record(entry)).toBe(true);
        expect(log.state()).toEqual(never.state());
        expect(byKey(log.draws())).toEqual(byKey(never.draws()));
      }),
      { numRuns: 120 },
    );
    expect(corrected).toBeGreaterThan(60);
  });

  it('refuses a correction only when an entry named as in the way really cannot stand without it', () => {
    fc.assert(
      fc.property(fc.array(step, { minLength: 5, maxLength: 30 }), fc.nat(30), (steps, choice) => {
        const log = new Log().play(steps);
        fc.pre(log.entries.length > 0);
        const correction = log.correction(choice, steps.length);
        const before = log.state();
        const decision = log.ledger.correct(correction as never, log.entries);
        fc.pre(decision.outcome === 'refused');
        if (decision.outcome !== 'refused') return;
        expect(log.state()).toEqual(before);
        expect(decision.reason).toBe('later-entry-in-the-way');
        const inTheWay = decision.obstacles[0]?.details.entryId;
        const never = new Log();
        const target = (correction.payload as { entryId: string }).entryId;
        const stands = new Map(
          log.entries.filter(({ entry }) => entry.id !== target).map(({ entry }) => [entry.id, never.record(entry)]),
        );
        expect(stands.get(inTheWay as string)).toBe(false);
      }),
      { numRuns: 30 },
    );
  });

  it('a correction of the correction brings the state back', () => {
    fc.assert(
      fc.property(fc.array(step, { minLength: 5, maxLength: 30 }), fc.nat(30), (steps, choice) => {
        const log = new Log().play(steps);
        fc.pre(log.entries.length > 0);
        const [before, draws] = [log.state(), byKey(log.draws())];
        const correction = log.correction(choice, steps.length);
        fc.pre(log.record(correction));
        const undo = { ...correction, id: 'undo', payload: { entryId: correction.id, reason: 'it was right' } };
        expect(log.record(undo as BenchEntry)).toBe(true);
        expect(log.state()).toEqual(before);
        expect(byKey(log.draws())).toEqual(draws);
      }),
      { numRuns: 120 },
    );
  });
});

/** A store that admits and applies what tablets send, as the server does. */
class Store {
  readonly log = new Log();
  readonly recorded = new Map<string, string>();
  last = 0;

  receive(sent: readonly { readonly entry: BenchEntry; readonly sequence: number }[]): void {
    for (const { entry, sequence } of sent) {
      const contentHash = canonicalJson(without(entry, 'atMs'));
      const admission = admit({ id: entry.id, sequence, contentHash }, this.last, (id) => this.recorded.get(id));
      if (admission !== 'new') continue;
      this.last = sequence;
      this.recorded.set(entry.id, contentHash);
      this.log.record(entry);
    }
  }
}

describe('sending again', () => {
  it('any duplication, retry and reordering of what was sent leaves the state of sending it once', () => {
    fc.assert(
      fc.property(
        fc.array(step, { minLength: 3, maxLength: 20 }),
        fc.array(fc.record({ from: fc.nat(19), length: fc.integer({ min: 1, max: 8 }) }), { maxLength: 12 }),
        (steps, resends) => {
          const sent = steps.map(({ action, lateDays }, index) => ({
            entry: entryOf(action, index, lateDays),
            sequence: index + 1,
          }));
          const once = new Store();
          once.receive(sent);
          const often = new Store();
          for (const { from, length } of resends) often.receive(sent.slice(from, from + length));
          often.receive(sent);
          often.receive([...sent].reverse());
          expect(often.log.state()).toEqual(once.log.state());
          expect(often.log.entries.map(({ entry }) => entry.id)).toEqual(once.log.entries.map(({ entry }) => entry.id));
        },
      ),
      { numRuns: 120 },
    );
  });

  it('tells a repeat, another content, a spent number and a gap apart', () => {
    const recorded = (id: string) => (id === 'a' ? 'hash' : undefined);
    expect(admit({ id: 'a', sequence: 1, contentHash: 'hash' }, 3, recorded)).toBe('repeated');
    expect(admit({ id: 'a', sequence: 4, contentHash: 'hash' }, 3, recorded)).toBe('repeated');
    expect(admit({ id: 'a', sequence: 1, contentHash: 'other' }, 3, recorded)).toBe('other-content');
    expect(admit({ id: 'b', sequence: 3, contentHash: 'hash' }, 3, recorded)).toBe('sequence-spent');
    expect(admit({ id: 'b', sequence: 4, contentHash: 'hash' }, 3, recorded)).toBe('new');
    expect(admit({ id: 'b', sequence: 5, contentHash: 'hash' }, 3, recorded)).toBe('gap');
  });
});
