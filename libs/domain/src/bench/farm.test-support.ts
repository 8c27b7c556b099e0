import { calendarDay } from '../calendar/calendar-day.js';
import { CodeBook } from './code-book.js';
import type { LoggedEntry } from './correction.js';
import type { Decision } from './decide.js';
import type { BenchEntry, EntryKind, EntryPayloads } from './entry.js';
import type { EntryFacts } from './facts.js';
import { BenchLedger, type BenchSettings } from './ledger.js';

const DAY_MS = 86_400_000;
const START_MS = Date.UTC(2026, 10, 23, 8);

/** An invented farm with two strains, one that suffers cold, and an open and a cancelled run. */
const settings: BenchSettings = {
  strain: (id) =>
    ({
      oyster: { shortCode: 'OY3', lastGeneration: 2, mayBeChilled: true },
      pink: { shortCode: 'PK', lastGeneration: 3, mayBeChilled: false },
    })[id],
  size: (id) => ({ litre: { ripeG: 600 } })[id],
  hasShelf: (id) => id === 'shelf',
  run: (id) => ({ run: { strainIds: ['oyster'], open: true }, cancelled: { strainIds: ['oyster'], open: false } })[id],
};

/** A farm and its log, with short words for what a test does to it. */
export class Farm {
  readonly ledger = new BenchLedger(settings, new CodeBook());
  readonly log: LoggedEntry[] = [];
  #count = 0;
  #day = 0;

  onDay(day: number): this {
    this.#day = day;
    return this;
  }

  does<K extends EntryKind>(kind: K, payload: EntryPayloads[K], id = `entry-${this.#count + 1}`) {
    this.#count += 1;
    const atMs = START_MS + this.#day * DAY_MS + this.#count;
    const day = calendarDay(new Date(atMs).toISOString().slice(0, 10));
    const entry = { id, kind, payload, atMs, day, staffId: 'staff-1' } as BenchEntry;
    const decision = entry.kind === 'corrected' ? this.ledger.correct(entry, this.log) : this.ledger.apply(entry);
    if (decision.outcome === 'applied') {
      this.log.push({ position: this.#count, entry, facts: 'facts' in decision ? (decision.facts as EntryFacts) : {} });
    }
    return decision as Decision;
  }

  jar(id: string) {
    const jar = this.ledger.thing('jar', id);
    if (!jar) throw new Error(`no jar ${id}`);
    return jar;
  }

  withMothers(...ids: readonly string[]): this {
    this.does('received', {
      lotId: 'mothers',
      strainId: 'oyster',
      generation: 1,
      sizeId: 'litre',
      container: 'jar',
      carrier: 'grain',
      jars: ids.map((id) => ({ id })),
    });
    return this;
  }

  withIncubating(...ids: readonly string[]): this {
    this.withMothers('mother');
    this.does('inoculated', {
      lotId: 'lot',
      strainId: 'oyster',
      sizeId: 'litre',
      mothers: [{ jarId: 'mother', amount: { by: 'grams', massG: 60 } }],
      jars: ids.map((id) => ({ id })),
    });
    return this;
  }
}

export const warned = (decision: Decision) =>
  decision.outcome === 'applied' ? decision.warnings.map(({ code }) => code) : [];
export const refusedFor = (decision: Decision) => (decision.outcome === 'refused' ? decision.reason : 'applied');
export const conserved = (farm: Farm, id: string) => {
  const { madeG, drawnG, leftG, discardedG } = farm.jar(id);
  return Math.round((drawnG + leftG + discardedG - madeG) * 10) === 0;
};
