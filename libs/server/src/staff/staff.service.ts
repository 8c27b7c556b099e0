import type { BenchTime, ChangeStaff, NewStaff, StaffLeaves, StaffList, StaffMember } from '@jarfold/contracts';
import { secretsOfPin } from '../devices/index.js';
import { endSessionsOf, staffWithAccounts } from '../identity/index.js';
import { enqueueReplan } from '../jobs/index.js';
import {
  AppError,
  type Clock,
  type GrowerContext,
  type GrowerDb,
  type GrowerTx,
  type Ids,
  type PlatformDb,
} from '../platform/index.js';
import { replaceAway } from './bench-time.repository.js';
import { judgePin } from './pin-rules.js';
import {
  deletePin,
  eraseName,
  findStaff,
  insertStaff,
  listStaff,
  ownersAtWork,
  type StaffColumns,
  saveName,
  savePin,
  updateStaff,
} from './staff.repository.js';

type Row = Omit<StaffMember, 'hasAccount'>;

/** The people of a farm: who they are, what they may do, and their PINs for shared tablets. */
export class StaffService {
  constructor(
    private readonly growerDb: GrowerDb,
    private readonly platformDb: PlatformDb,
    private readonly clock: Clock,
    private readonly ids: Ids,
  ) {}

  async list(ctx: GrowerContext): Promise<StaffList> {
    const rows = await this.growerDb.read(ctx, (tx) => listStaff(tx, ctx.growerId));
    return { items: await this.#withAccounts(ctx, rows) };
  }

  /** @throws AppError `invalid-input` for a PIN anyone would guess */
  async add(ctx: GrowerContext, { name, role, pin }: NewStaff): Promise<StaffMember> {
    const secrets = pin === undefined ? null : await goodPin(pin);
    const id = this.ids.next();
    const now = this.clock.now();
    return this.#changed(ctx, id, async (tx) => {
      await insertStaff(tx, ctx.growerId, { id, name, role, now });
      if (secrets) await savePin(tx, ctx.growerId, id, secrets, now);
    });
  }

  /**
   * Renames somebody or gives another role, which works from their next call on.
   * @throws AppError `not-found`, `revision-stale`, `rule-refused` (owners are made with a farm, and stay)
   */
  async change(ctx: GrowerContext, id: string, revision: number, { name, role }: ChangeStaff): Promise<StaffMember> {
    return this.#changed(ctx, id, async (tx) => {
      const before = await known(tx, ctx, id);
      if ((before.role === 'owner') !== (role === 'owner')) {
        throw new AppError(
          'rule-refused',
          'Nobody becomes an owner, or stops being one, by this. Nothing was changed.',
        );
      }
      await this.#update(tx, ctx, { id, revision, role });
      await saveName(tx, ctx.growerId, id, name);
    });
  }

  /**
   * Says what somebody can give at the bench, and when they are away; asks for a plan that knows it.
   * @throws AppError `not-found`, `revision-stale`, `rule-refused` (has left)
   */
  async setBenchTime(ctx: GrowerContext, id: string, revision: number, time: BenchTime): Promise<StaffMember> {
    return this.#changed(ctx, id, async (tx) => {
      if (!(await known(tx, ctx, id)).active) throw hasLeft();
      await this.#update(tx, ctx, { id, revision, benchMinutes: time.benchMinutes });
      await replaceAway(tx, ctx.growerId, id, time.away);
      await enqueueReplan(tx, ctx, 'farm-changed');
    });
  }

  /**
   * Sets a PIN; whoever is signed in with the old one is signed out.
   * @throws AppError `not-found`, `rule-refused` (has left), `invalid-input`
   */
  async setPin(ctx: GrowerContext, id: string, pin: string): Promise<void> {
    const secrets = await goodPin(pin);
    await this.growerDb.run(ctx, async (tx) => {
      if (!(await known(tx, ctx, id)).active) throw hasLeft();
      await savePin(tx, ctx.growerId, id, secrets, this.clock.now());
    });
    await this.#endPinSessions(ctx, id);
  }

  /** @throws AppError `not-found` */
  async removePin(ctx: GrowerContext, id: string): Promise<void> {
    await this.growerDb.run(ctx, async (tx) => {
      await known(tx, ctx, id);
      await deletePin(tx, ctx.growerId, id);
    });
    await this.#endPinSessions(ctx, id);
  }

  /**
   * Ends somebody's work here: no sign-in of any kind from now on. What they logged stays, and what a tablet still has
   * of theirs is taken when it comes.
   * @throws AppError `not-found`, `revision-stale`, `rule-refused` (the last owner)
   */
  async leave(ctx: GrowerContext, id: string, revision: number, { forgetName }: StaffLeaves): Promise<StaffMember> {
    const left = await this.#changed(ctx, id, async (tx) => {
      const before = await known(tx, ctx, id);
      if (before.role === 'owner' && before.active && (await ownersAtWork(tx, ctx.growerId)) === 1) {
        throw new AppError('rule-refused', 'This is the farm’s last owner, who cannot leave. Nothing was changed.');
      }
      await this.#update(tx, ctx, { id, revision, active: false });
      await deletePin(tx, ctx.growerId, id);
      if (forgetName) {
        await eraseName(tx, ctx.growerId, id);
        await replaceAway(tx, ctx.growerId, id, []);
      }
      await enqueueReplan(tx, ctx, 'farm-changed');
    });
    await this.platformDb.run((tx) =>
      endSessionsOf(tx, { growerId: ctx.growerId, staffId: id }, 'all', this.clock.now()),
    );
    return left;
  }

  /** Lets somebody work here again; a PIN has to be set anew. @throws AppError `not-found`, `revision-stale` */
  async comeBack(ctx: GrowerContext, id: string, revision: number): Promise<StaffMember> {
    return this.#changed(ctx, id, async (tx) => {
      await known(tx, ctx, id);
      await this.#update(tx, ctx, { id, revision, active: true });
      await enqueueReplan(tx, ctx, 'farm-changed');
    });
  }

  async #update(tx: GrowerTx, ctx: GrowerContext, change: StaffColumns): Promise<void> {
    if (!(await updateStaff(tx, ctx.growerId, change))) throw new AppError('revision-stale');
  }

  async #changed(ctx: GrowerContext, id: string, work: (tx: GrowerTx) => Promise<void>): Promise<StaffMember> {
    const row = await this.growerDb.run(ctx, async (tx) => {
      await work(tx);
      return known(tx, ctx, id);
    });
    const [member] = await this.#withAccounts(ctx, [row]);
    if (!member) throw unknownPerson();
    return member;
  }

  async #withAccounts(ctx: GrowerContext, rows: readonly Row[]): Promise<StaffMember[]> {
    const withAccount = await this.platformDb.run((tx) => staffWithAccounts(tx, ctx.growerId));
    return rows.map((row) => ({ ...row, hasAccount: withAccount.has(row.staffId) }));
  }

  #endPinSessions(ctx: GrowerContext, staffId: string): Promise<void> {
    const { growerId } = ctx;
    return this.platformDb.run((tx) => endSessionsOf(tx, { growerId, staffId }, 'by-pin', this.clock.now()));
  }
}

async function known(tx: GrowerTx, ctx: GrowerContext, id: string): Promise<Row> {
  const row = await findStaff(tx, ctx.growerId, id);
  if (!row) throw unknownPerson();
  return row;
}

/** @throws AppError `invalid-input` that points at the PIN */
async function goodPin(pin: string) {
  const reason = judgePin(pin);
  if (reason === null) return secretsOfPin(pin);
  throw new AppError('invalid-input', 'The PIN is too easy to guess; nothing was changed.', {
    errors: [{ in: 'body', pointer: '/pin', detail: reason }],
  });
}

function unknownPerson(): AppError {
  return new AppError('not-found', 'Nobody with this id works or has worked on the farm.');
}

function hasLeft(): AppError {
  return new AppError('rule-refused', 'This person has left the farm: let them come back first.');
}
