import type { BenchAnswer, BenchBatch, BenchBatchAnswer, BenchEntryInput } from '@jarfold/contracts';
import {
  actionBehind,
  admit,
  type BenchEntry,
  BenchLedger,
  CodeBook,
  calendarDay,
  calendarDayAt,
  canonicalJson,
  type EntryFacts,
  type LoggedEntry,
  thingsOf,
} from '@jarfold/domain';
import type { BenchPicture, ChangesSince, FarmFacts, ThingNow } from './farm-facts.js';
import type { NetAnswer, NetPort } from './ports.js';
import type { AnyThing } from './thing-shelf.js';

interface LogRow {
  readonly position: number;
  readonly id: string;
  readonly deviceId: string;
  readonly sequence: number;
  readonly kind: string;
  readonly content: string;
  readonly outcome: 'applied' | 'refused';
  readonly reason: string;
  readonly logged: LoggedEntry;
  readonly touched: readonly { readonly kind: ThingNow['kind']; readonly id: string }[];
}

/** The server's half of the contract in memory, on the domain's own ledger: enough to prove the tablet's half against. */
export class FakeServer implements NetPort {
  static readonly STRAIN = '00000000-0000-4000-8000-0000000000a1';
  static readonly SIZE = '00000000-0000-4000-8000-0000000000a2';
  static readonly SHELF = '00000000-0000-4000-8000-0000000000a3';
  static readonly GROWER = '00000000-0000-4000-8000-0000000000a4';

  nowMs = Date.parse('2026-11-25T08:00:00Z');
  log: LogRow[] = [];
  unreadable: (entry: BenchEntryInput) => boolean = () => false;
  #ledger = newLedger();
  readonly #lastSequence = new Map<string, number>();

  send = async (batch: BenchBatch): Promise<NetAnswer<BenchBatchAnswer>> => {
    if (batch.entries.some(this.unreadable)) {
      return { kind: 'problem', status: 422, code: 'request-invalid', detail: 'Cannot be read.' };
    }
    const clockOffsetMs = this.nowMs - Date.parse(batch.sentAt);
    const answers: BenchAnswer[] = [];
    for (const entry of [...batch.entries].sort((a, b) => a.sequence - b.sequence)) {
      const answer = this.#one(batch.deviceId, entry, clockOffsetMs);
      if (!answer) return { kind: 'problem', status: 409, code: 'sequence-spent', detail: 'Spent.' };
      answers.push(answer);
    }
    const lastSequence = this.#lastSequence.get(batch.deviceId) ?? 0;
    return { kind: 'ok', body: { lastSequence, position: this.log.length, clockOffsetMs, answers } };
  };

  changes = async (after: number): Promise<NetAnswer<ChangesSince>> => {
    const things = this.log.slice(after).flatMap(({ touched }) => touched);
    const now = things.map(({ kind, id }) => ({ kind, id, state: this.#ledger.thing(kind, id) ?? null }));
    const tooOld = after > this.log.length;
    return { kind: 'ok', body: { position: this.log.length, tooOld, things: now } };
  };

  snapshot = async (): Promise<NetAnswer<BenchPicture>> => {
    const keys = new Map(this.log.flatMap(({ touched }) => touched).map((ref) => [`${ref.kind}${ref.id}`, ref]));
    const things = [...keys.values()].flatMap(({ kind, id }) => {
      const state = this.#ledger.thing(kind, id);
      return state ? [{ kind, state } as AnyThing] : [];
    });
    return {
      kind: 'ok',
      body: { position: this.log.length, farm: { ...FARM, takenAt: new Date(this.nowMs).toISOString() }, things },
    };
  };

  /** The same server behind a wire that loses the next answers to what is sent. */
  losingAnswers(count: number): NetPort {
    let left = count;
    return {
      ...this.#ports(),
      send: async (batch) => {
        const answer = await this.send(batch);
        left -= 1;
        return left >= 0 ? { kind: 'unreachable' } : answer;
      },
    };
  }

  guardedBy(open: () => boolean): NetPort {
    const { send, changes, snapshot } = this.#ports();
    return {
      send: async (batch) => (open() ? send(batch) : { kind: 'sign-in' }),
      changes: async (after) => (open() ? changes(after) : { kind: 'sign-in' }),
      snapshot: async () => (open() ? snapshot() : { kind: 'sign-in' }),
    };
  }

  /** As after a restore from an older copy. */
  forgetAfter(position: number): void {
    const kept = this.log.slice(0, position);
    this.log = [];
    this.#ledger = newLedger();
    this.#lastSequence.clear();
    for (const row of kept) {
      const { entry } = row.logged;
      if (entry.kind !== 'corrected') this.#ledger.apply(entry);
      this.log.push(row);
      this.#lastSequence.set(row.deviceId, row.sequence);
    }
  }

  spend(deviceId: string, upTo: number): void {
    this.#lastSequence.set(deviceId, upTo);
  }

  jarCodes(): readonly string[] {
    return this.#jars()
      .map(({ code }) => code)
      .sort();
  }

  seen() {
    return this.#jars()
      .map(({ id, shakes, goneAs }) => ({ id, shakes, goneAs }))
      .sort((a, b) => (a.id < b.id ? -1 : 1));
  }

  #jars() {
    const ids = new Set(
      this.log.flatMap(({ touched }) => touched.filter(({ kind }) => kind === 'jar').map(({ id }) => id)),
    );
    return [...ids].flatMap((id) => this.#ledger.thing('jar', id) ?? []);
  }

  #ports(): NetPort {
    return { send: this.send, changes: this.changes, snapshot: this.snapshot };
  }

  #one(deviceId: string, entry: BenchEntryInput, offsetMs: number): BenchAnswer | null {
    const content = canonicalJson({ kind: entry.kind, at: entry.happenedAt, payload: entry.payload });
    const last = this.#lastSequence.get(deviceId) ?? 0;
    const stored = (id: string) => this.log.find((row) => row.id === id);
    const admission = admit({ ...entry, contentHash: content }, last, (id) => stored(id)?.content);
    const { id, sequence } = entry;
    if (admission === 'gap') return { outcome: 'gap', id, sequence, sendFrom: last + 1 };
    if (admission === 'sequence-spent' || admission === 'other-content') return null;
    this.#lastSequence.set(deviceId, Math.max(last, sequence));
    if (admission === 'new') this.#record(deviceId, entry, content, offsetMs);
    const row = stored(id);
    if (!row) return null;
    const common = { id, sequence, position: row.position, repeated: admission === 'repeated' };
    if (row.outcome === 'applied') return { outcome: 'applied', ...common, warnings: [], facts: {} };
    return { outcome: 'refused', ...common, reason: row.reason, message: row.reason, obstacles: [] };
  }

  #record(deviceId: string, input: BenchEntryInput, content: string, offsetMs: number): void {
    const atMs = Date.parse(input.happenedAt) + offsetMs;
    const { id, sequence, kind, payload, staffId } = input;
    const entry = {
      id,
      kind,
      payload,
      staffId,
      atMs,
      day: calendarDayAt(atMs, FARM.farm.timeZone),
    } as unknown as BenchEntry;
    const logged = this.log.filter(({ outcome }) => outcome === 'applied').map((row) => row.logged);
    const byId = (wanted: string) => logged.find((one) => one.entry.id === wanted)?.entry;
    const decision = entry.kind === 'corrected' ? this.#ledger.correct(entry, logged) : this.#ledger.apply(entry);
    const action = entry.kind === 'corrected' ? actionBehind(byId, entry.payload.entryId) : entry;
    const applied = decision.outcome === 'applied';
    const facts: EntryFacts = applied && 'facts' in decision ? (decision.facts as EntryFacts) : {};
    const position = this.log.length + 1;
    this.log.push({
      position,
      id,
      deviceId,
      sequence,
      kind,
      content,
      outcome: decision.outcome,
      reason: applied ? '' : decision.reason,
      logged: { position, entry, facts },
      touched: applied && action ? thingsOf(action) : [],
    });
  }
}

const FARM: FarmFacts = {
  farm: { growerId: FakeServer.GROWER, name: 'Lower mill', timeZone: 'Europe/Vienna' },
  takenAt: '2026-11-25T08:00:00.000Z',
  today: calendarDay('2026-11-25'),
  settings: { grain: 'rye', targetMoisture: null, altitudeM: null, openedLifeDays: 3 },
  staff: [],
  strains: [
    {
      id: FakeServer.STRAIN,
      shortCode: 'OY3',
      name: 'Grey oyster',
      speciesKey: 'pleurotus-ostreatus',
      lastGeneration: 3,
      mayBeChilled: true,
      inoculumG: 50,
      daysToRipe: 16,
      warmLifeDays: 10,
      coldLifeDays: 60,
      archived: false,
    },
  ],
  sizes: [
    {
      id: FakeServer.SIZE,
      name: 'Litre jar',
      container: 'jar',
      carrier: 'grain',
      volumeMl: 1000,
      ripeG: 600,
      dryGrainG: 280,
      inoculumFactor: 1,
      archived: false,
    },
  ],
  rooms: [],
  shelves: [
    { id: FakeServer.SHELF, roomId: FakeServer.GROWER, name: 'Left', rows: 4, placesPerRow: 10, archived: false },
  ],
  runs: [],
  jobs: { day: calendarDay('2026-11-25'), planId: null, jobs: [] },
};

function newLedger(): BenchLedger {
  const find = <T extends { id: string }>(items: readonly T[], id: string) => items.find((item) => item.id === id);
  return new BenchLedger(
    {
      strain: (id) => find(FARM.strains, id),
      size: (id) => find(FARM.sizes, id),
      hasShelf: (id) => find(FARM.shelves, id) !== undefined,
      run: () => undefined,
    },
    new CodeBook(),
  );
}
