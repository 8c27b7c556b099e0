import { enrolledSchema, type OwnDevice, ownDeviceSchema, whoAmISchema } from '@jarfold/contracts';
import { z } from 'zod';
import { ask } from './http-net.js';
import { pinFits, waitBeforePinMs } from './offline-pin.js';
import type { NetAnswer } from './ports.js';
import type { Person, TabletRecord } from './tablet-record.js';
import { finishLeaving, rememberLeaving } from './unfinished-leaving.js';

const QUICK_MS = 4000;

export type WhoIsIn =
  | { readonly kind: 'in'; readonly growerId: string; readonly person: Person }
  | { readonly kind: 'nobody' }
  | { readonly kind: 'unreachable' };

export type PinAnswer =
  | { readonly kind: 'in'; readonly person: Person; readonly online: boolean }
  | { readonly kind: 'wrong' }
  | { readonly kind: 'wait'; readonly seconds: number }
  /** The server cannot be reached and this tablet was never told that person's PIN. */
  | { readonly kind: 'unknown-here' }
  | { readonly kind: 'refused'; readonly detail: string };

export type EnrolAnswer =
  | { readonly kind: 'enrolled'; readonly device: OwnDevice }
  | { readonly kind: 'refused'; readonly detail: string }
  | { readonly kind: 'unreachable' };

/** Who is signed in on the server's side of this browser. */
export async function whoIsIn(): Promise<WhoIsIn> {
  if (!(await finishLeaving())) return { kind: 'unreachable' };
  const answer = await ask('/api/session', whoAmISchema, { patienceMs: QUICK_MS });
  if (answer.kind === 'sign-in') return { kind: 'nobody' };
  if (answer.kind !== 'ok') return { kind: 'unreachable' };
  const { staffId, name, role, farm } = answer.body;
  return { kind: 'in', growerId: farm.growerId, person: { staffId, name, role } };
}

/** Asks the server what this tablet is and who may work on it, and remembers that for hours without a network. */
export async function refreshDevice(record: TabletRecord): Promise<OwnDevice | null> {
  const answer = await ask('/api/device', ownDeviceSchema, { patienceMs: QUICK_MS });
  if (answer.kind === 'ok') {
    await record.set('device', answer.body);
    return answer.body;
  }
  const ended = answer.kind === 'sign-in' || (answer.kind === 'problem' && answer.status < 500);
  if (ended) await record.set('device', null);
  return ended ? null : record.get('device');
}

export async function enrol(record: TabletRecord, code: string): Promise<EnrolAnswer> {
  const answer = await ask('/api/device', enrolledSchema, { body: { code } });
  if (answer.kind === 'problem') return { kind: 'refused', detail: answer.detail };
  if (answer.kind !== 'ok') return { kind: 'unreachable' };
  await record.set('growerId', answer.body.farm.growerId);
  const device = await refreshDevice(record);
  return device ? { kind: 'enrolled', device } : { kind: 'unreachable' };
}

/** Signs in by PIN: at the server when it can be reached, else by what the tablet was told. */
export async function signInByPin(
  record: TabletRecord,
  device: OwnDevice,
  staffId: string,
  pin: string,
  nowMs: number,
): Promise<PinAnswer> {
  const answer = await ask('/api/device/session', whoAmISchema, { body: { staffId, pin }, patienceMs: QUICK_MS * 2 });
  if (answer.kind === 'unreachable') return signInOffline(record, device, staffId, pin, nowMs);
  const read = onlineAnswer(answer);
  if (read.kind === 'in') await becomePerson(record, read.person);
  return read;
}

function onlineAnswer(answer: Exclude<NetAnswer<z.infer<typeof whoAmISchema>>, { kind: 'unreachable' }>): PinAnswer {
  if (answer.kind === 'ok') {
    const { staffId, name, role } = answer.body;
    return { kind: 'in', person: { staffId, name, role }, online: true };
  }
  if (answer.kind === 'busy') return { kind: 'wait', seconds: Math.ceil(answer.afterMs / 1000) };
  if (answer.kind === 'problem' && answer.code !== 'wrong-pin') return { kind: 'refused', detail: answer.detail };
  return { kind: 'wrong' };
}

async function signInOffline(
  record: TabletRecord,
  device: OwnDevice,
  staffId: string,
  pin: string,
  nowMs: number,
): Promise<PinAnswer> {
  const found = device.people.find((one) => one.staffId === staffId);
  if (!found?.pin) return { kind: 'unknown-here' };
  const tries = (await record.get('tries')) ?? {};
  const waitMs = waitBeforePinMs(tries[staffId], nowMs);
  if (waitMs > 0) return { kind: 'wait', seconds: Math.ceil(waitMs / 1000) };
  // Counted before it is checked: pulling the plug in between forgives nothing.
  const wrong = (tries[staffId]?.wrong ?? 0) + 1;
  await record.set('tries', { ...tries, [staffId]: { wrong, lastMs: nowMs } });
  if (!(await pinFits(pin, found.pin, device.deviceId))) return { kind: 'wrong' };
  await record.set('tries', { ...tries, [staffId]: { wrong: 0, lastMs: nowMs } });
  const person = { staffId, name: found.name, role: found.role };
  await becomePerson(record, person);
  return { kind: 'in', person, online: false };
}

export async function becomePerson(record: TabletRecord, person: Person): Promise<void> {
  await record.set('person', person);
}

/**
 * Nobody works on the tablet any more. The tablet does not wait for the server; of a person's own device the session is
 * ended once it can be reached, a shared tablet's ends by itself and opens nothing but the bench.
 */
export async function leaveTablet(record: TabletRecord, { shared }: { readonly shared: boolean }): Promise<void> {
  if (!shared) rememberLeaving();
  await record.set('person', null);
  if (!shared) await finishLeaving();
  else await ask('/api/session', z.null(), { method: 'DELETE', patienceMs: QUICK_MS });
}
