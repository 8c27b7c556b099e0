import {
  benchPayloadSchemas,
  isBenchKind,
  type RefusedEntry,
  type RefusedList,
  type Settle,
  type Settled,
  type SettledList,
  type Unsettled,
} from '@jarfold/contracts';
import {
  type ActionEntry,
  drawsOf,
  type Jar,
  jarsInTheWay,
  type SettlementWay,
  settledPayload,
  settlementWays,
} from '@jarfold/domain';
import {
  type ActionToAppend,
  type BenchService,
  type EntryRow,
  entriesById,
  loadThings,
  logEntryJson,
  readHead,
  refusalMessage,
} from '../bench/index.js';
import { AppError, type Clock, type GrowerContext, type GrowerDb, type GrowerTx, type Ids } from '../platform/index.js';
import {
  type EarlierDraw,
  type EntryNames,
  earlierDraws,
  jarsInstead,
  namesOfEntries,
  newestRefusedIds,
  standingSettlements,
  unsettledIds,
} from './conflicts.repository.js';

const SHOWN_AT_MOST = 200;
const OTHER_JARS = 8;
/** A settlement that was wrong is noticed within a week or so; after that it is history. */
const SETTLED_LATELY_MS = 7 * 24 * 3_600_000;

const NAMELESS: EntryNames = { by: null, tablet: null, purpose: null };

type Refused = Pick<ActionEntry, 'kind' | 'payload'>;

/**
 * What the rules refused and somebody has to look at: two tablets that drew the same grams, a jar that was gone. A
 * settlement is written to the log like everything else, so that it can be seen, and taken back, later.
 */
export class ConflictsService {
  constructor(
    private readonly growerDb: GrowerDb,
    private readonly bench: BenchService,
    private readonly ids: Ids,
    private readonly clock: Clock,
  ) {}

  async list(ctx: GrowerContext): Promise<RefusedList> {
    return this.growerDb.read(ctx, async (tx) => {
      const ids = await unsettledIds(tx, ctx.growerId, SHOWN_AT_MOST);
      const rows = await entriesById(tx, ctx.growerId, ids);
      const inOrder = rows.toSorted((a, b) => a.position - b.position);
      return { items: await shown(tx, ctx.growerId, inOrder) };
    });
  }

  /** What was settled within the last seven days, the latest first: whoever sees that it was wrong can undo it. */
  async settledLately(ctx: GrowerContext): Promise<SettledList> {
    return this.growerDb.read(ctx, async (tx) => {
      const since = this.clock.now().getTime() - SETTLED_LATELY_MS;
      const ids = await newestRefusedIds(tx, ctx.growerId, SHOWN_AT_MOST);
      const standing = (await standingSettlements(tx, ctx.growerId, ids))
        .filter(({ settledAt }) => settledAt.getTime() >= since)
        .sort((one, other) => other.settledAt.getTime() - one.settledAt.getTime());
      const refused = standing.map(({ refusedId }) => refusedId);
      const rows = new Map((await entriesById(tx, ctx.growerId, refused)).map((row) => [row.id, row]));
      const names = await namesOfEntries(tx, ctx.growerId, [...refused, ...standing.map(({ id }) => id)]);
      return {
        items: standing.flatMap(({ refusedId, id, way, settledAt }) => {
          const row = rows.get(refusedId);
          const settled = { way, settledAt: settledAt.toISOString(), settledBy: names.get(id)?.by ?? null };
          return row ? [{ entry: logEntryJson(row), ...(names.get(refusedId) ?? NAMELESS), ...settled }] : [];
        }),
      };
    });
  }

  /**
   * Settles a refused entry: the entry that takes its place and the note that it is settled are one transaction.
   * @throws AppError `not-found`, `rule-refused` (settled already, or the new entry cannot be either)
   */
  async settle(ctx: GrowerContext, entryId: string, settle: Settle): Promise<Settled> {
    return this.growerDb.run(ctx, async (tx) => {
      const [row] = await entriesById(tx, ctx.growerId, [entryId]);
      if (row?.outcome !== 'refused') throw unknownEntry();
      const replacement = await this.#replacement(tx, ctx.growerId, row, settle);
      const newEntryId = replacement?.id ?? null;
      const settledBy = this.ids.next();
      const payload = { entryId, way: settle.way, ...(newEntryId === null ? {} : { newEntryId }) };
      const actions = [...(replacement ? [replacement] : []), { kind: 'settled' as const, payload, id: settledBy }];
      await this.bench.append(tx, ctx, actions);
      return { settledBy, newEntryId, position: (await readHead(tx, ctx.growerId)).position };
    });
  }

  /**
   * Takes a settlement back, and with it the entry that took the refused one's place: the refused entry waits to be looked
   * at again.
   * @throws AppError `not-found` (nothing is settled there), `rule-refused` (something rests on the entry in its place)
   */
  async unsettle(ctx: GrowerContext, entryId: string): Promise<Unsettled> {
    return this.growerDb.run(ctx, async (tx) => {
      const [standing] = await standingSettlements(tx, ctx.growerId, [entryId]);
      if (!standing) throw new AppError('not-found', 'There is no settled entry with this id on the farm.');
      const { id, newEntryId } = standing;
      const reason = 'The settlement was taken back.';
      const takenBack = [...(newEntryId === null ? [] : [newEntryId]), id];
      await this.bench.append(
        tx,
        ctx,
        takenBack.map((one) => ({ kind: 'corrected' as const, payload: { entryId: one, reason } })),
      );
      return { settlementId: id, position: (await readHead(tx, ctx.growerId)).position };
    });
  }

  /** The entry in the refused one's place, said to have happened when that one did. */
  async #replacement(
    tx: GrowerTx,
    growerId: string,
    row: EntryRow,
    settle: Settle,
  ): Promise<(ActionToAppend & { id: string }) | null> {
    if (settle.way === 'drop') return null;
    const entry = readable(row);
    const jars = await jarsOf(tx, growerId, entry ? [entry] : []);
    const jar = (id: string) => jars.get(id);
    if (!entry || !settlementWays(entry, row.refusal_code ?? '', jar).includes(settle.way)) throw notThatWay();
    const other = settle.way === 'take_another_jar' ? settle.jarId : null;
    const payload = settledPayload(entry, settle.way, jar, other);
    if (payload === null) throw notThatWay();
    const action = { kind: entry.kind, payload, id: this.ids.next() } as ActionToAppend & { id: string };
    return { ...action, happenedAt: row.effective_at, staffId: row.staff_id };
  }
}

interface Reading {
  readonly row: EntryRow;
  /** Null for one that only dropping can settle. */
  readonly entry: Refused | null;
  readonly ways: readonly SettlementWay[];
  readonly inTheWay: ReturnType<typeof jarsInTheWay>;
}

/** All of them at once: what they ask of the log is asked once, however many they are. */
async function shown(tx: GrowerTx, growerId: string, rows: readonly EntryRow[]): Promise<RefusedEntry[]> {
  const entries = rows.map((row) => ({ row, entry: readable(row) }));
  const jars = await jarsOf(
    tx,
    growerId,
    entries.flatMap(({ entry }) => entry ?? []),
  );
  const jar = (id: string) => jars.get(id);
  const readings = entries.map(({ row, entry }) => readingOf(row, entry, jar));
  const inTheWay = new Set(readings.flatMap((one) => one.inTheWay.map(({ jarId }) => jarId)));
  const earlier = await earlierDraws(tx, growerId, [...inTheWay]);
  const names = await namesOfEntries(tx, growerId, [
    ...new Set([...rows.map(({ id }) => id), ...earlier.map(({ entryId }) => entryId)]),
  ]);
  const items: RefusedEntry[] = [];
  for (const reading of readings) {
    const { entry, ways } = reading;
    const others = entry && ways.includes('take_another_jar');
    const otherJars = others ? await instead(tx, growerId, entry, reading.inTheWay, jar) : [];
    items.push({ ...refusedJson(reading, earlier, names, jar), otherJars });
  }
  return items;
}

function readingOf(row: EntryRow, entry: Refused | null, jar: (id: string) => Jar | undefined): Reading {
  if (!entry) return { row, entry, ways: ['drop'], inTheWay: [] };
  const ways = settlementWays(entry, row.refusal_code ?? '', jar);
  return { row, entry, ways, inTheWay: jarsInTheWay(drawsOf(entry), jar) };
}

function refusedJson(
  { row, ways, inTheWay }: Reading,
  earlier: readonly EarlierDraw[],
  names: ReadonlyMap<string, EntryNames>,
  jar: (id: string) => Jar | undefined,
): Omit<RefusedEntry, 'otherJars'> {
  const named = (id: string) => names.get(id) ?? NAMELESS;
  return {
    entry: logEntryJson(row),
    ...named(row.id),
    message: refusalMessage(row.refusal_code ?? '', row.details?.obstacles ?? []),
    ways: [...ways],
    jarsInTheWay: inTheWay.map((one) => ({
      ...one,
      code: jar(one.jarId)?.code ?? '',
      earlier: earlier
        .filter(({ jarId }) => jarId === one.jarId)
        .map(({ jarId: _, ...draw }) => ({ ...draw, ...named(draw.entryId) })),
    })),
  };
}

async function instead(
  tx: GrowerTx,
  growerId: string,
  entry: Refused,
  inTheWay: ReturnType<typeof jarsInTheWay>,
  jar: (id: string) => Jar | undefined,
): Promise<RefusedEntry['otherJars']> {
  const [one] = inTheWay;
  const strainId = one ? (jar(one.jarId)?.strainId ?? null) : null;
  const not = drawsOf(entry).map(({ jarId }) => jarId);
  return jarsInstead(tx, growerId, { strainId, leastG: one?.askedG ?? 0, not }, OTHER_JARS);
}

/** A refused entry may hold anything: only one that its own schema reads can be settled by another. */
function readable({ kind, payload }: EntryRow): Refused | null {
  if (!isBenchKind(kind) || kind === 'corrected' || kind === 'settled') return null;
  const parsed = benchPayloadSchemas[kind].safeParse(payload);
  return parsed.success ? ({ kind, payload: parsed.data } as Refused) : null;
}

/** The jars the entries draw from. */
async function jarsOf(tx: GrowerTx, growerId: string, entries: readonly Refused[]): Promise<ReadonlyMap<string, Jar>> {
  const ids = new Set(entries.flatMap(drawsOf).map(({ jarId }) => jarId));
  const jars = await loadThings(tx, growerId, 'jar', [...ids]);
  return new Map(jars.map((jar) => [jar.id, jar]));
}

function unknownEntry(): AppError {
  return new AppError('not-found', 'There is no refused entry with this id on the farm.');
}

function notThatWay(): AppError {
  return new AppError(
    'rule-refused',
    'This entry cannot be settled that way as things stand now. Nothing was changed.',
  );
}
