import { randomUUID } from 'node:crypto';
import type { BenchBatch, BenchBatchAnswer } from '@jarfold/contracts';
import type { SeededRandom } from '@jarfold/domain';
import type {
  MemoryStore,
  NetAnswer,
  NetPort,
  StoreChange,
  StoredBench,
  StorePort,
} from '../../apps/web/src/offline/index.js';
import type { TabletOptions } from './simulated-tablet.js';
import type { Answered, Deliver, Sent } from './unreliable-network.js';
import type { VirtualTime } from './virtual-time.js';

/** A defect put in on purpose: the run must notice it. */
export interface PlantedBug {
  readonly name: string;
  /** The invariants of which at least one must be found broken. */
  readonly breaks: RegExp;
  /** Between the network and the server. */
  readonly server?: (deliver: Deliver, random: SeededRandom) => Deliver;
  /** In the tablet. */
  readonly tablet?: TabletOptions['plant'];
  /** In the database, before anything happens. */
  readonly sql?: string;
  /** How often the app is closed after an action, where the defect shows only then. */
  readonly restartShare?: number;
}

type AtEntries = (deliver: Deliver) => Deliver;
type Step = (sent: Sent, deliver: Deliver) => Promise<Answered>;

const atEntries =
  (step: Step): AtEntries =>
  (deliver) =>
  (sent) =>
    sent.method === 'POST' && sent.path === '/api/bench/entries' ? step(sent, deliver) : deliver(sent);

const answerOf = ({ text }: Answered): BenchBatchAnswer => JSON.parse(text);
const withAnswer = (answered: Answered, body: unknown): Answered => ({ ...answered, text: JSON.stringify(body) });

/** Answers every entry as applied, as a server that commits later would, or never. */
function appliedAll({ body = '{}' }: Sent): Answered {
  const { entries }: BenchBatch = JSON.parse(body);
  const answers = entries.map(({ id, sequence }) => ({
    ...{ outcome: 'applied', id, sequence, position: 1, repeated: false, warnings: [], facts: {} },
  }));
  const lastSequence = entries.at(-1)?.sequence ?? 0;
  return { status: 200, headers: {}, text: JSON.stringify({ lastSequence, position: 1, clockOffsetMs: 0, answers }) };
}

/** A server that knows no entry again: whatever comes a second time gets an id and a number of its own. */
function forgetsRepeats(): (deliver: Deliver) => Deliver {
  const known = new Set<string>();
  const next = new Map<string, number>();
  return atEntries(async (sent, deliver) => {
    const batch: BenchBatch = JSON.parse(sent.body ?? '{}');
    const renamed = new Map<string, { id: string; sequence: number }>();
    const entries = batch.entries.map((entry) => {
      const sequence = (next.get(batch.deviceId) ?? 0) + 1;
      next.set(batch.deviceId, sequence);
      const id = known.has(entry.id) ? randomUUID() : entry.id;
      known.add(entry.id);
      renamed.set(id, { id: entry.id, sequence: entry.sequence });
      return { ...entry, id, sequence };
    });
    const answered = await deliver({ ...sent, body: JSON.stringify({ ...batch, entries }) });
    if (answered.status !== 200) {
      next.set(batch.deviceId, (next.get(batch.deviceId) ?? 0) - entries.length);
      return answered;
    }
    const body = answerOf(answered);
    return withAnswer(answered, { ...body, answers: body.answers.map((one) => ({ ...one, ...renamed.get(one.id) })) });
  });
}

/**
 * A server that answers before it commits and then loses a tablet's work for good. A single lost batch would not show:
 * the next one is a gap to the server, and the tablet, which keeps what was acknowledged, sends the lost one again.
 */
function forgetsAcknowledged(): (deliver: Deliver, random: SeededRandom) => Deliver {
  return (deliver, random) => {
    const forgotten = new Set<string>();
    return atEntries(async (sent, on) => {
      const { deviceId }: BenchBatch = JSON.parse(sent.body ?? '{}');
      if (random.uniform() < 0.1) forgotten.add(deviceId);
      return forgotten.has(deviceId) ? appliedAll(sent) : on(sent);
    })(deliver);
  };
}

const LATE_MS = 600_000;

/** Loses whatever was written in the last ten minutes before the app is closed, as a store without strict durability may. */
class RelaxedStore implements StorePort {
  #late: { readonly atMs: number; readonly ids: readonly string[] }[] = [];

  constructor(
    private readonly kept: MemoryStore,
    private readonly time: Pick<VirtualTime, 'nowMs'>,
  ) {}

  async load(): Promise<StoredBench> {
    const lost = this.#late.filter(({ atMs }) => atMs > this.time.nowMs - LATE_MS).flatMap(({ ids }) => ids);
    if (lost.length > 0) await this.kept.commit({ dropOwn: lost });
    const stored = await this.kept.load();
    const nextSequence = (stored.own.at(-1)?.sequence ?? 0) + 1;
    return { ...stored, device: stored.device && { ...stored.device, nextSequence } };
  }

  device: StorePort['device'] = () => this.kept.device();
  own: StorePort['own'] = () => this.kept.own();

  append: StorePort['append'] = async (entries) => {
    const stored = await this.kept.append(entries);
    this.#late.push({ atMs: this.time.nowMs, ids: stored.map(({ id }) => id) });
    return stored;
  };

  commit(change: StoreChange): Promise<void> {
    return this.kept.commit(change);
  }
}

/** Two windows that number entries each for themselves: every seventh entry takes the number of the one before. */
class TwiceNumbered implements StorePort {
  #count = 0;

  constructor(private readonly kept: MemoryStore) {}

  load = () => this.kept.load();
  device: StorePort['device'] = () => this.kept.device();
  own: StorePort['own'] = () => this.kept.own();
  commit = (change: StoreChange) => this.kept.commit(change);

  append: StorePort['append'] = async (entries) => {
    const stored = await this.kept.append(entries);
    this.#count += 1;
    if (this.#count % 7 > 0) return stored;
    const { device } = await this.kept.own();
    const again = stored.map((entry) => ({ ...entry, sequence: Math.max(1, entry.sequence - 1) }));
    if (device) await this.kept.commit({ device: { ...device, nextSequence: device.nextSequence - 1 }, putOwn: again });
    return again;
  };
}

const onSend =
  (change: (answer: NetAnswer<BenchBatchAnswer>, batch: BenchBatch) => NetAnswer<BenchBatchAnswer>) =>
  (net: NetPort): NetPort => ({ ...net, send: async (batch) => change(await net.send(batch), batch) });

export const PLANTED_BUGS: readonly PlantedBug[] = [
  {
    name: 'nothing keeps an entry from being stored twice',
    breaks: /^I[27] /,
    server: forgetsRepeats(),
  },
  {
    name: 'entries are acknowledged before they are stored',
    breaks: /^I[13] /,
    server: forgetsAcknowledged(),
  },
  {
    name: 'the cursor of changes runs ahead of what was given',
    breaks: /^I4 /,
    server: (deliver, random) => async (sent) => {
      const answered = await deliver(sent);
      if (!sent.path.startsWith('/api/bench/changes') || answered.status !== 200) return answered;
      const body = JSON.parse(answered.text);
      const things = body.things.filter(() => random.uniform() > 0.1);
      return withAnswer(answered, { ...body, things });
    },
  },
  {
    name: 'saved does not mean kept',
    breaks: /^I3 /,
    tablet: { store: (store, time) => new RelaxedStore(store, time) },
    restartShare: 0.2,
  },
  {
    name: 'rows of every farm are read',
    breaks: /^I8 /,
    server: (deliver) => async (sent) => {
      const answered = await deliver(sent);
      if (!sent.path.startsWith('/api/bench/changes') || answered.status !== 200) return answered;
      const body = JSON.parse(answered.text);
      const farm = sent.headers['jarfold-grower'] ?? '';
      for (const { kind, id, state } of body.things) if (kind === 'jar' && state) jarsOfFarms.set(id, { farm, state });
      const foreign = [...jarsOfFarms].find(([, jar]) => jar.farm !== farm);
      const leaked = foreign ? [{ kind: 'jar', id: foreign[0], state: foreign[1].state }] : [];
      return withAnswer(answered, { ...body, things: [...body.things, ...leaked] });
    },
  },
  {
    name: 'a session that has ended takes the unsent work with it',
    breaks: /^I[13] /,
    server: (deliver, random) => endsSessions(random)(deliver),
    tablet: { net: dropsWorkWithSession },
  },
  {
    name: 'two windows number entries each for themselves',
    breaks: /^I(3|7|10) /,
    tablet: { store: (store) => new TwiceNumbered(store) },
  },
  {
    name: 'a refused entry blocks the queue behind it',
    breaks: /^I(10|4) /,
    tablet: {
      net: onSend((answer) =>
        answer.kind === 'ok' && answer.body.answers.some(({ outcome }) => outcome === 'refused')
          ? { kind: 'unreachable' }
          : answer,
      ),
    },
  },
  {
    name: 'a refused entry is taken for applied',
    breaks: /^I3 /,
    tablet: {
      net: onSend((answer) => {
        if (answer.kind !== 'ok') return answer;
        const answers = answer.body.answers.map((one) =>
          one.outcome === 'refused'
            ? {
                ...{
                  outcome: 'applied' as const,
                  id: one.id,
                  sequence: one.sequence,
                  position: one.position,
                  repeated: false,
                },
                warnings: [],
                facts: {},
              }
            : one,
        );
        return { kind: 'ok', body: { ...answer.body, answers } };
      }),
    },
  },
  {
    name: 'a draw takes nothing from its jar',
    breaks: /^I(5|9) /,
    sql: `CREATE FUNCTION planted() RETURNS trigger LANGUAGE plpgsql AS $$
            BEGIN NEW.mass_g := NEW.mass_g / 2; RETURN NEW; END $$;
          CREATE TRIGGER planted BEFORE INSERT ON jar_draw FOR EACH ROW EXECUTE FUNCTION planted()`,
  },
];

const jarsOfFarms = new Map<string, { readonly farm: string; readonly state: unknown }>();

const SESSION_ENDED = {
  type: '/problems/sign-in-required',
  title: 'Sign in first',
  status: 401,
  detail: 'The session has ended.',
  instance: 'urn:uuid:0198c6a0-0000-4000-8000-000000000001',
  correlationId: '0198c6a0-0000-4000-8000-000000000001',
  code: 'sign-in-required',
};

/** A small farm's day is too short for sessions to end by themselves: here one request in ten finds its session ended. */
const endsSessions = (random: SeededRandom): AtEntries =>
  atEntries(async (sent, on) =>
    random.uniform() < 0.1
      ? {
          status: 401,
          headers: { 'content-type': 'application/problem+json' },
          text: JSON.stringify(SESSION_ENDED),
        }
      : on(sent),
  );

/** Takes the end of a session for an answer, and never sends again: a mended gap would hide a single loss. */
function dropsWorkWithSession(net: NetPort): NetPort {
  let ended = false;
  const send: NetPort['send'] = async (batch) => {
    if (ended) return okFor(batch);
    const answer = await net.send(batch);
    ended = answer.kind === 'sign-in';
    return ended ? okFor(batch) : answer;
  };
  return { ...net, send };
}

function okFor(batch: BenchBatch): NetAnswer<BenchBatchAnswer> {
  const { text } = appliedAll({ method: 'POST', path: '', headers: {}, body: JSON.stringify(batch) });
  return { kind: 'ok', body: JSON.parse(text) };
}
