import {
  type ActionEntry,
  type BenchEntry,
  BenchLedger,
  type BenchThings,
  CodeBook,
  codesGivenBy,
  type EntryFacts,
  type EntryOf,
  isoWeek,
  type LedgerChanges,
  type LoggedEntry,
  placings,
  type ThingKind,
  type ThingRef,
  thingKey,
  thingsOf,
  voidedEntries,
} from '@jarfold/domain';
import type { GrowerTx, StaffRole } from '../platform/index.js';
import { byKind } from './by-kind.js';
import { chainHash } from './chain.js';
import { chainedFromRow, loggedFromRow } from './entry.mapper.js';
import { entriesById, entriesOfThings, insertEntries, replaceVoids, type ThingLink } from './log.repository.js';
import type { CounterRow, DecidedRow, EntryRow, Remark } from './rows.js';
import { codeOwners, type FarmLookups } from './settings.repository.js';
import { jarsOnPlaces, loadThingsOf, saveChanges } from './things.repository.js';

const ENTRIES_PER_STATEMENT = 1000;

/** An entry that is to be recorded, with its moment settled; `entry` is null when it could not be read. */
export interface PreparedEntry {
  readonly entry: BenchEntry | null;
  /** Why it is refused whatever the rules say; null when the rules decide. */
  readonly refusedAs: { readonly reason: string; readonly obstacles: readonly Remark[] } | null;
  readonly warnings: readonly Remark[];
  /** Who is signed in, which may be somebody else than the entry names. */
  readonly sentBy: { readonly staffId: string; readonly role: StaffRole | null };
  readonly row: Omit<DecidedRow, 'position' | 'outcome' | 'refusal_code' | 'details' | 'warnings' | 'facts'>;
}

/** Entries as they were written, and the log's head behind them. */
export interface Written {
  readonly rows: readonly EntryRow[];
  readonly head: CounterRow;
}

type Verdict =
  | { readonly outcome: 'applied'; readonly facts: EntryFacts; readonly warnings: readonly Remark[] }
  | { readonly outcome: 'refused'; readonly reason: string; readonly obstacles: readonly Remark[] };

/**
 * Records entries one after another in memory and then writes them, their effects and their links in a handful of
 * statements, whatever their number. It works under the log's lock: nothing it has read can change before it writes.
 */
export class Recording {
  readonly decided: DecidedRow[] = [];
  readonly #tx: GrowerTx;
  readonly #growerId: string;
  readonly #codes = new CodeBook();
  readonly #ledger: BenchLedger;
  readonly #loaded = new Set<string>();
  readonly #applied: { readonly logged: LoggedEntry; readonly links: ReadonlySet<string> }[] = [];
  readonly #links: ThingLink[] = [];
  readonly #voids = new Map<string, string | null>();
  readonly #head: CounterRow;

  constructor(tx: GrowerTx, growerId: string, head: CounterRow, lookups: FarmLookups) {
    this.#tx = tx;
    this.#growerId = growerId;
    this.#head = head;
    this.#ledger = new BenchLedger(lookups.settings, this.#codes);
  }

  /** Reads what the entries will touch, all at once. */
  async load(entries: readonly PreparedEntry[], lookups: FarmLookups): Promise<void> {
    const actions = entries.flatMap(({ entry }) => (entry && entry.kind !== 'corrected' ? [entry] : []));
    await this.#loadThings([...actions.flatMap(thingsOf), ...(await this.#jarsOnPlacesOf(actions))]);
    await this.#loadCodes(codePrefixes(actions, lookups), actions.flatMap(namedCodes));
  }

  async record(prepared: PreparedEntry): Promise<void> {
    const verdict = await this.#decide(prepared);
    this.decided.push({
      ...prepared.row,
      position: this.#nextPosition,
      outcome: verdict.outcome,
      refusal_code: verdict.outcome === 'refused' ? verdict.reason : null,
      details: verdict.outcome === 'refused' ? { obstacles: verdict.obstacles } : null,
      warnings: [...prepared.warnings, ...(verdict.outcome === 'applied' ? verdict.warnings : [])],
      facts: verdict.outcome === 'applied' ? { ...verdict.facts } : {},
    });
  }

  /** Writes everything recorded so far behind the head it was decided on; the caller moves the counter. */
  async write(): Promise<Written> {
    const rows = chained(this.decided, this.#head);
    await insertEntries(this.#tx, this.#growerId, rows, this.#links);
    await saveChanges(this.#tx, this.#growerId, this.#ledger.changes());
    await this.writeVoids();
    return { rows, head: headBehind(rows, this.#head) };
  }

  /** Writes which entries stand voided now, once the entries themselves are written. */
  async writeVoids(): Promise<void> {
    const voids = [...this.#voids].flatMap(([entry_id, voided_by]) => (voided_by ? [{ entry_id, voided_by }] : []));
    await replaceVoids(this.#tx, this.#growerId, [...this.#voids.keys()], voids);
  }

  /** What the recorded entries change; for a caller that writes the things before it takes the lock. */
  get changes(): LedgerChanges {
    return this.#ledger.changes();
  }

  /**
   * Writes the entries behind another head than they were decided on: the log may have grown meanwhile. Nothing the
   * decisions rest on may have changed. The caller writes the things, and moves the counter.
   */
  async writeEntriesAfter(head: CounterRow): Promise<CounterRow> {
    const offset = head.position - this.#head.position;
    const links = this.#links.map(({ thing_id, position }) => ({ thing_id, position: position + offset }));
    let reached = head;
    let writing = Promise.resolve();
    for (const part of inSlices(this.decided, offset, links)) {
      // The next part is chained while the database still writes the one before.
      const rows = chained(part.rows, reached);
      reached = headBehind(rows, reached);
      await writing;
      writing = insertEntries(this.#tx, this.#growerId, rows, part.links);
    }
    await writing;
    return reached;
  }

  get #nextPosition(): number {
    return this.#head.position + this.decided.length + 1;
  }

  async #decide({ entry, refusedAs, sentBy }: PreparedEntry): Promise<Verdict> {
    if (refusedAs) return { outcome: 'refused', ...refusedAs };
    if (!entry) throw new TypeError('An entry that cannot be read has to say why.');
    if (entry.kind === 'settled') return this.#settle(entry, sentBy);
    return entry.kind === 'corrected' ? this.#correct(entry) : this.#apply(entry);
  }

  /** Settling changes no thing; it is tied to the refused entry, which is how that one is found to be settled. */
  async #settle(entry: EntryOf<'settled'>, sentBy: PreparedEntry['sentBy']): Promise<Verdict> {
    const { entryId } = entry.payload;
    const settled = this.decided.find(({ id }) => id === entryId) ?? (await this.#stored(entryId));
    if (!settled) return refusedFor('unknown-entry', { entryId });
    if (settled.outcome !== 'refused') return refusedFor('entry-not-refused', { entryId });
    if (await this.#isSettled(entryId)) return refusedFor('already-settled', { entryId });
    if (sentBy.role === 'hand' && settled.staff_id !== sentBy.staffId) {
      return refusedFor('not-yours-to-settle', { entryId });
    }
    this.#keep(entry, {}, new Set([entryId]));
    return { outcome: 'applied', facts: {}, warnings: [] };
  }

  async #isSettled(entryId: string): Promise<boolean> {
    const settling = (await this.#logOf([entryId], [])).filter(({ entry }) => entry.kind === 'settled');
    const log = await this.#logOf(
      settling.map(({ entry }) => entry.id),
      settling,
    );
    const voided = voidedEntries(log);
    return settling.some(({ entry }) => !voided.has(entry.id));
  }

  async #stored(id: string): Promise<EntryRow | undefined> {
    return (await entriesById(this.#tx, this.#growerId, [id]))[0];
  }

  #apply(entry: ActionEntry): Verdict {
    const decision = this.#ledger.apply(entry);
    if (decision.outcome === 'refused') return refused(decision);
    this.#keep(entry, decision.facts, new Set(thingsOf(entry).map(({ id }) => id)));
    return { outcome: 'applied', facts: decision.facts, warnings: decision.warnings };
  }

  async #correct(correction: EntryOf<'corrected'>): Promise<Verdict> {
    const found = await this.#chainBehind(correction.payload.entryId);
    if ('reason' in found) return found;
    const { action, chain } = found;
    const things = thingsOf(action);
    await this.#loadThings(things);
    const log = await this.#logOf([...things.map(({ id }) => id), action.id], chain);
    await this.#loadCodes([], log.filter(({ entry }) => entry.id === action.id).flatMap(codesGivenBy));
    const decision = this.#ledger.correct(correction, log);
    if (decision.outcome === 'refused') return refused(decision);
    const links = new Set([...things.map(({ id }) => id), ...chain.map(({ entry }) => entry.id)]);
    const logged = this.#keep(correction, {}, links);
    this.#noteVoids([...log, logged]);
    return { outcome: 'applied', facts: {}, warnings: [] };
  }

  /** The entry a correction names, and those it names in turn, down to the action they are all about. */
  async #chainBehind(
    entryId: string,
  ): Promise<Extract<Verdict, { outcome: 'refused' }> | { action: ActionEntry; chain: readonly LoggedEntry[] }> {
    const chain: LoggedEntry[] = [];
    for (let id = entryId; ; ) {
      const found = await this.#find(id);
      if (found === 'unknown') return refusedFor('unknown-entry', { entryId });
      if (found === 'refused') return refusedFor('entry-was-refused', { entryId });
      chain.push(found);
      if (found.entry.kind === 'corrected') id = found.entry.payload.entryId;
      else return { action: found.entry, chain };
    }
  }

  async #find(id: string): Promise<LoggedEntry | 'unknown' | 'refused'> {
    const here = this.#applied.find(({ logged }) => logged.entry.id === id);
    if (here) return here.logged;
    const row = this.decided.find((recorded) => recorded.id === id) ?? (await this.#stored(id));
    if (!row) return 'unknown';
    return row.outcome === 'refused' ? 'refused' : loggedFromRow(row);
  }

  async #logOf(ids: readonly string[], chain: readonly LoggedEntry[]): Promise<readonly LoggedEntry[]> {
    const stored = await entriesOfThings(this.#tx, this.#growerId, ids);
    const wanted = new Set(ids);
    const here = this.#applied.filter(({ links }) => [...links].some((id) => wanted.has(id)));
    const all = [...chain, ...stored.map(loggedFromRow), ...here.map(({ logged }) => logged)];
    const byPosition = new Map(all.map((logged) => [logged.position, logged]));
    return [...byPosition.values()].sort((a, b) => a.position - b.position);
  }

  #keep(entry: BenchEntry, facts: EntryFacts, links: ReadonlySet<string>): LoggedEntry {
    const position = this.#nextPosition;
    const logged = { position, entry, facts };
    this.#applied.push({ logged, links });
    this.#links.push(...[...links].map((thing_id) => ({ thing_id, position })));
    return logged;
  }

  #noteVoids(log: readonly LoggedEntry[]): void {
    const voided = voidedEntries(log);
    for (const { entry } of log) {
      if (entry.kind === 'corrected') this.#voids.set(entry.payload.entryId, voided.get(entry.payload.entryId) ?? null);
    }
  }

  async #loadThings(refs: readonly ThingRef[]): Promise<void> {
    const missing = refs.filter((ref) => !this.#loaded.has(thingKey(ref)));
    for (const ref of missing) this.#loaded.add(thingKey(ref));
    const wanted = [...byKind(missing)].map(([kind, of]) => [kind, [...new Set(of.map(({ id }) => id))]] as const);
    for (const thing of await loadThingsOf(this.#tx, this.#growerId, new Map(wanted))) this.#put(thing);
  }

  #put<K extends ThingKind>({ kind, state }: { readonly kind: K; readonly state: BenchThings[K] }): void {
    this.#ledger.put(kind, state);
  }

  /** Jars that stand where the entries put others. */
  async #jarsOnPlacesOf(actions: readonly ActionEntry[]): Promise<readonly ThingRef[]> {
    const places = actions.flatMap(placings).map(({ place }) => place);
    const ids = await jarsOnPlaces(this.#tx, this.#growerId, places);
    return ids.map((id) => ({ kind: 'jar', id }));
  }

  async #loadCodes(prefixes: readonly string[], codes: readonly string[]): Promise<void> {
    if (prefixes.length === 0 && codes.length === 0) return;
    for (const owner of await codeOwners(this.#tx, this.#growerId, { prefixes, codes })) {
      // What has been read already may have changed since; its code is kept where it changed.
      if (!this.#loaded.has(thingKey({ kind: owner.named, id: owner.id })))
        this.#codes.take(owner.named, owner.code, owner.id);
    }
  }
}

/** Chains rows, which follow one another, behind a head. */
function chained(rows: readonly DecidedRow[], head: CounterRow): EntryRow[] {
  let previous_hash = head.headHash;
  return rows.map((row) => {
    const hash = chainHash(chainedFromRow(row), previous_hash);
    const linked = { ...row, previous_hash, hash };
    previous_hash = hash;
    return linked;
  });
}

/** The head behind rows that were chained to `head`. */
function headBehind(rows: readonly EntryRow[], head: CounterRow): CounterRow {
  const last = rows.at(-1);
  return last ? { position: last.position, headHash: last.hash } : head;
}

/** Rows moved on by so many positions, with their links, so many at a time that a statement's text stays small. */
function* inSlices(rows: readonly DecidedRow[], offset: number, links: readonly ThingLink[]) {
  let linked = 0;
  for (let from = 0; from < rows.length; from += ENTRIES_PER_STATEMENT) {
    const part = rows
      .slice(from, from + ENTRIES_PER_STATEMENT)
      .map((row) => ({ ...row, position: row.position + offset }));
    const last = part.at(-1)!.position;
    const firstLink = linked;
    // Both are in order of position.
    while (linked < links.length && links[linked]!.position <= last) linked += 1;
    yield { rows: part, links: links.slice(firstLink, linked) };
  }
}

function refused(decision: {
  readonly reason: string;
  readonly obstacles: readonly Remark[];
}): Extract<Verdict, { outcome: 'refused' }> {
  const obstacles = decision.obstacles.map(({ code, details }) => ({ code, details }));
  return { outcome: 'refused', reason: decision.reason, obstacles };
}

function refusedFor(
  reason: string,
  details: Readonly<Record<string, unknown>>,
): Extract<Verdict, { outcome: 'refused' }> {
  return refused({ reason, obstacles: [{ code: reason, details }] });
}

/** Beginnings of the codes that new lots, batches and cycles may be given, such as `OY3-26W48`. */
function codePrefixes(actions: readonly ActionEntry[], { settings }: FarmLookups): readonly string[] {
  const prefixes = actions.flatMap((entry) => {
    const names = codeNames(entry, settings);
    const { year, week } = isoWeek(entry.day);
    return names.map((name) => `${name}-${String(year % 100).padStart(2, '0')}W${String(week).padStart(2, '0')}`);
  });
  return [...new Set(prefixes)];
}

function codeNames(entry: ActionEntry, settings: FarmLookups['settings']): readonly string[] {
  switch (entry.kind) {
    case 'culture_made':
    case 'received':
    case 'inoculated':
      return [settings.strain(entry.payload.strainId)?.shortCode ?? []].flat();
    case 'blanks_kept':
      return ['BL'];
    case 'cycle_started':
      return ['ST'];
    default:
      return entry.kind.startsWith('grain_') ? ['GR'] : [];
  }
}

function namedCodes(entry: ActionEntry): readonly string[] {
  const lotCode = 'code' in entry.payload && entry.payload.code !== undefined ? [entry.payload.code] : [];
  return entry.kind === 'received' ? [...lotCode, ...entry.payload.jars.flatMap(({ code }) => code ?? [])] : lotCode;
}
