import {
  type Device,
  type DeviceList,
  ENROLMENT_MINUTES,
  type EnrolDevice,
  type EnrolledDevice,
  type Enrolment,
  type NewEnrolment,
  type OwnDevice,
  type PinSignIn,
} from '@jarfold/contracts';
import { SERVER_DEVICE } from '../bench/index.js';
import {
  admit,
  clearTries,
  hashOfToken,
  looksLikeToken,
  newSecretToken,
  type OpenedSession,
  openPinSession,
  PIN_POLICIES,
  TOKEN_POLICY,
  throttleKey,
} from '../identity/index.js';
import {
  AppError,
  type Clock,
  type GrowerContext,
  type GrowerDb,
  type GrowerTx,
  type Ids,
  type PlatformDb,
} from '../platform/index.js';
import {
  findEnrolment,
  findTokenOwner,
  forgetDevice,
  insertDevice,
  insertEnrolment,
  type TokenOwner,
  useEnrolment,
} from './device-token.repository.js';
import {
  farmOf,
  findDevice,
  listDevices,
  peopleAtWork,
  pinOf,
  renameDevice,
  revokeDevice,
} from './devices.repository.js';
import { hashOfCode, newEnrolmentCode, readableCode } from './enrolment-code.js';
import { offlinePin, pinMatches } from './pin-hash.js';

/** A tablet that has shown its own token. */
export type ResolvedDevice = TokenOwner;

/** Shared tablets: how they come to a farm, who may sign in on them, and how they go. See docs/decisions/0008. */
export class DevicesService {
  constructor(
    private readonly growerDb: GrowerDb,
    private readonly platformDb: PlatformDb,
    private readonly clock: Clock,
    private readonly ids: Ids,
  ) {}

  /** A one-time code for a tablet. Only its hash is kept, so it can be shown once. */
  async offerEnrolment(ctx: GrowerContext, { name }: NewEnrolment): Promise<Enrolment> {
    const code = newEnrolmentCode();
    const createdAt = this.clock.now();
    const expiresAt = new Date(createdAt.getTime() + ENROLMENT_MINUTES * 60_000);
    const enrolment = { codeHash: hashOfCode(code), growerId: ctx.growerId, name, createdAt, expiresAt };
    await this.platformDb.run((tx) => insertEnrolment(tx, enrolment));
    return { code: readableCode(code), name, expiresAt: expiresAt.toISOString() };
  }

  /**
   * Makes the browser that typed the code an enrolled device. The token goes into its cookie and nowhere else.
   * @param network of the caller, whose tries are counted
   * @throws AppError `enrolment-code-refused`, `too-many-sign-ins`
   */
  async enrol(
    { code }: EnrolDevice,
    network: string,
  ): Promise<{ readonly token: string; readonly device: EnrolledDevice }> {
    const now = this.clock.now();
    const tries = throttleKey('enrol', network);
    await admit(this.platformDb, [{ key: tries, policy: TOKEN_POLICY }], now);
    const offer = await this.platformDb.run((tx) => findEnrolment(tx, hashOfCode(code)));
    if (!offer) throw refusedCode();
    const token = newSecretToken();
    const device = { growerId: offer.growerId, deviceId: this.ids.next(), name: offer.name };
    await this.platformDb.runForGrower(offer.growerId, async (tx) => {
      if (!(await useEnrolment(tx, hashOfCode(code), now))) throw refusedCode();
      await insertDevice(tx, { ...device, tokenHash: hashOfToken(token), now });
    });
    await clearTries(this.platformDb, [tries]);
    const farm = await this.growerDb.read(device, (tx) => farmOf(tx, device.growerId));
    return { token, device: { deviceId: device.deviceId, name: device.name, farm } };
  }

  /** Whose tablet a cookie belongs to; null for none of ours. */
  async resolve(token: string | undefined): Promise<ResolvedDevice | null> {
    if (token === undefined || !looksLikeToken(token)) return null;
    return this.platformDb.single((tx) => findTokenOwner(tx, hashOfToken(token)));
  }

  /** What a tablet may know by itself: its name, its farm, and who can be asked for a PIN. */
  async own({ growerId, deviceId }: ResolvedDevice): Promise<OwnDevice> {
    return this.growerDb.read({ growerId }, async (tx) => {
      const device = await inService(tx, { growerId, deviceId });
      const people = await peopleAtWork(tx, growerId);
      return {
        deviceId,
        name: device.name,
        farm: await farmOf(tx, growerId),
        people: people.map(({ pin, ...person }) => ({ ...person, pin: pin && offlinePin(pin, deviceId) })),
      };
    });
  }

  /**
   * Signs somebody in on a tablet. Tries are counted by tablet and person, and by tablet alone; the counts are in the
   * database, so a restart forgives nothing. There is only ever a pause, never a lock that a stranger could close.
   * @throws AppError `wrong-pin` alike for a wrong PIN, no PIN and nobody of that id; `too-many-sign-ins`
   */
  async signIn(device: ResolvedDevice, { staffId, pin }: PinSignIn, userAgent: string | null): Promise<OpenedSession> {
    const { growerId, deviceId } = device;
    const now = this.clock.now();
    const keys = {
      person: throttleKey('pin', growerId, deviceId, staffId),
      device: throttleKey('pin-device', growerId, deviceId),
    };
    const gates = [
      { key: keys.person, policy: PIN_POLICIES.person },
      { key: keys.device, policy: PIN_POLICIES.device },
    ];
    await admit(this.platformDb, gates, now);
    const stored = await this.growerDb.read({ growerId }, async (tx) => {
      await inService(tx, device);
      return pinOf(tx, growerId, staffId);
    });
    const matches = await pinMatches(stored?.pinHash, pin);
    if (!matches) throw new AppError('wrong-pin', 'That is not the PIN of this person.');
    await clearTries(this.platformDb, [keys.person, keys.device]);
    return openPinSession(this.platformDb, { growerId, staffId, deviceId, userAgent, now });
  }

  async list(ctx: GrowerContext): Promise<DeviceList> {
    return { items: await this.growerDb.read(ctx, (tx) => listDevices(tx, ctx.growerId, SERVER_DEVICE.id)) };
  }

  /** @throws AppError `not-found`, `revision-stale` */
  async rename(ctx: GrowerContext, id: string, revision: number, name: string): Promise<Device> {
    return this.growerDb.run(ctx, async (tx) => {
      const before = await known(tx, ctx, id);
      if (!(await renameDevice(tx, ctx.growerId, { id, revision, name }))) throw new AppError('revision-stale');
      return { ...before, name, revision: revision + 1 };
    });
  }

  /**
   * Takes a device out of service: the log takes no more entries from it, and whoever is signed in on it is signed out.
   * Safe to repeat, so that a half-done one is finished by doing it again.
   * @throws AppError `not-found`
   */
  async revoke(ctx: GrowerContext, id: string): Promise<void> {
    const now = this.clock.now();
    await this.growerDb.run(ctx, async (tx) => {
      await known(tx, ctx, id);
      await revokeDevice(tx, ctx.growerId, id, now);
    });
    await this.platformDb.run((tx) => forgetDevice(tx, { growerId: ctx.growerId, deviceId: id }, now));
  }
}

/** @throws AppError `device-not-enrolled` for one that was taken out of service */
async function inService(tx: GrowerTx, { growerId, deviceId }: TokenOwner): Promise<Device> {
  const device = await findDevice(tx, growerId, deviceId);
  if (!device || device.revokedAt !== null) throw notEnrolled();
  return device;
}

/** @throws AppError `not-found`, also for the server's own, which is no device of anybody */
async function known(tx: GrowerTx, { growerId }: GrowerContext, id: string): Promise<Device> {
  const device = id === SERVER_DEVICE.id ? null : await findDevice(tx, growerId, id);
  if (!device) throw unknownDevice();
  return device;
}

function refusedCode(): AppError {
  return new AppError(
    'enrolment-code-refused',
    `The code is not right, was used, or is older than ${ENROLMENT_MINUTES} minutes: make a new one at a desk.`,
  );
}

export function notEnrolled(): AppError {
  return new AppError('device-not-enrolled', 'This browser is not an enrolled tablet, or was taken out of service.');
}

function unknownDevice(): AppError {
  return new AppError('not-found', 'There is no device with this id on the farm.');
}
