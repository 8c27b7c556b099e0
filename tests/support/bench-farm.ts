import { randomUUID } from 'node:crypto';
import type { BenchAnswer, BenchBatch, BenchEntryInput } from '@jarfold/contracts';
import type { EntryKind, EntryPayloads } from '@jarfold/domain';
import { BenchService } from '@jarfold/server';
import type { Clock, GrowerContext } from '@jarfold/server/platform';
import { makeGrower } from './growers.js';
import type { TestDatabase } from './test-database.js';

/** An invented farm with one strain, one jar size, one shelf and one bulk run, and a tablet to log with. */
export interface BenchFarm {
  readonly ctx: GrowerContext;
  readonly strainId: string;
  readonly sizeId: string;
  readonly shelfId: string;
  readonly runId: string;
  readonly bench: BenchService;
}

export async function makeBenchFarm(database: TestDatabase, clock: Clock): Promise<BenchFarm> {
  const { owner: ctx } = await makeGrower(database);
  const lists = await addBenchLists(database, ctx.growerId);
  const bench = new BenchService(database.growerDb, clock, { next: () => randomUUID() });
  return { ctx, ...lists, bench };
}

/** The lists of an invented farm: what its jars are made of, stand on and go to. */
export async function addBenchLists(
  database: Pick<TestDatabase, 'growerDb'>,
  growerId: string,
): Promise<Omit<BenchFarm, 'ctx' | 'bench'>> {
  const [strainId, sizeId, roomId, shelfId, runId] = [
    randomUUID(),
    randomUUID(),
    randomUUID(),
    randomUUID(),
    randomUUID(),
  ] as [string, string, string, string, string];
  await database.growerDb.run({ growerId }, async (tx) => {
    await tx.strain.create({
      data: {
        growerId,
        id: strainId,
        shortCode: 'OY3',
        name: 'Grey',
        speciesKey: 'pleurotus-ostreatus',
        lastGeneration: 9,
      },
    });
    await tx.containerSize.create({ data: { growerId, id: sizeId, name: 'Litre', volumeMl: 1000, ripeG: 600 } });
    await tx.room.create({ data: { growerId, id: roomId, name: 'Warm', kind: 'incubation' } });
    await tx.shelf.create({ data: { growerId, id: shelfId, roomId, name: 'A', rows: 5, placesPerRow: 20 } });
    await tx.bulkRun.create({
      data: {
        growerId,
        id: runId,
        name: 'Run',
        day: new Date('2026-12-01'),
        substrateWetG: 100_000,
        spawnRate: 0.05,
        minShare: 0.8,
        maxShare: 1.2,
        minG: 4000,
        targetG: 5000,
        maxG: 6000,
      },
    });
    await tx.bulkRunStrain.create({ data: { growerId, runId, rank: 1, strainId } });
  });
  return { strainId, sizeId, shelfId, runId };
}

/** A tablet: it numbers what it sends and can send it again. */
export class Tablet {
  readonly id: string = randomUUID();
  readonly farm: BenchFarm;
  readonly clock: Clock;
  sequence = 0;

  constructor(farm: BenchFarm, clock: Clock) {
    this.farm = farm;
    this.clock = clock;
  }

  write<K extends EntryKind>(kind: K, payload: EntryPayloads[K], id: string = randomUUID()): BenchEntryInput {
    this.sequence += 1;
    const happenedAt = this.clock.now().toISOString();
    return { id, sequence: this.sequence, happenedAt, kind, payload: payload as BenchEntryInput['payload'] };
  }

  batch(entries: readonly BenchEntryInput[]): BenchBatch {
    return { deviceId: this.id, sentAt: this.clock.now().toISOString(), entries: [...entries] };
  }

  async send(...entries: readonly BenchEntryInput[]): Promise<BenchAnswer[]> {
    return (await this.farm.bench.record(this.farm.ctx, this.batch(entries))).answers;
  }

  async log<K extends EntryKind>(kind: K, payload: EntryPayloads[K], id?: string): Promise<BenchAnswer> {
    const [answer] = await this.send(this.write(kind, payload, id));
    if (!answer) throw new Error('no answer');
    return answer;
  }

  /** Ripe jars of generation 1 on hand; answers with their ids. */
  async receive(count: number): Promise<string[]> {
    const ids = Array.from({ length: count }, () => randomUUID());
    const answer = await this.log('received', this.received(ids));
    if (answer.outcome !== 'applied') throw new Error(JSON.stringify(answer));
    return ids;
  }

  received(ids: readonly string[]): EntryPayloads['received'] {
    const { strainId, sizeId } = this.farm;
    const jars = ids.map((id) => ({ id }));
    return { lotId: randomUUID(), strainId, sizeId, generation: 1, container: 'jar', carrier: 'grain', jars };
  }

  inoculated(motherId: string, massG: number, ids: readonly string[]): EntryPayloads['inoculated'] {
    const { strainId, sizeId } = this.farm;
    const mothers = [{ jarId: motherId, amount: { by: 'grams' as const, massG } }];
    return { lotId: randomUUID(), strainId, sizeId, mothers, jars: ids.map((id) => ({ id })) };
  }

  drawn(jarId: string, massG: number): EntryPayloads['drawn_for_run'] {
    return { runId: this.farm.runId, draws: [{ jarId, amount: { by: 'grams', massG } }] };
  }
}

const DERIVED_TABLES = [
  'jar',
  'lot',
  'grain_batch',
  'steriliser_cycle',
  'container_pool',
  'jar_draw',
  'harvest',
  'bench_void',
];

/** Everything that is derived from the log, as text that is equal exactly when the state is. */
export async function benchState(
  database: Pick<TestDatabase, 'sql'>,
  growerId: string,
): Promise<Record<string, string[]>> {
  const state: Record<string, string[]> = {};
  for (const table of DERIVED_TABLES) {
    const rows = await database.sql<{ row: string }>(
      `SELECT (to_jsonb(t) - 'grower_id')::text AS row FROM ${table} t WHERE grower_id = $1 ORDER BY 1`,
      [growerId],
    );
    state[table] = rows.map(({ row }) => row);
  }
  return state;
}
