/**
 * Who may call what, route by route. The table below is the decision; the server's own contracts must say the same, and
 * the server must do it: everyone below a route's role is turned away before anything else is looked at.
 */
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { startApi, type TestApi, type World } from '../support/api-app.js';
import { addWithPin, enrolTablet, type SharedTablet } from '../support/shared-tablet.js';

interface Described {
  readonly operation: string;
  readonly isPublic: boolean;
  readonly minimumRole: 'hand' | 'lead' | 'owner' | null;
}

/** Changes that a sign-in by PIN may make on a shared tablet. Everything else that changes something needs a password. */
const BENCH_CHANGES = [
  'POST /api/bench/entries',
  'PUT /api/bench/photos/{photoId}',
  'POST /api/bench/refused/{entryId}/settle',
  'POST /api/bench/refused/{entryId}/unsettle',
  'DELETE /api/session',
];

/** Routes that nobody needs to be signed in for, each with what stands in for it. */
const PUBLIC: Readonly<Record<string, string>> = {
  'GET /healthz': 'says only that the process lives',
  'GET /readyz': 'says only whether it can serve',
  'GET /problems': 'explains problem codes',
  'GET /problems/{code}': 'explains problem codes',
  'GET /api/openapi.json': 'describes the interface',
  'GET /api/trust': 'gives the local authority to trust',
  'GET /api/set-up': 'says whether a first farm is missing',
  'POST /api/set-up': 'the set-up token',
  'POST /api/growers': 'the operator token',
  'GET /api/calendar/{growerId}/{secret}': 'the feed’s own secret',
  'POST /api/session': 'address and password',
  'POST /api/device': 'a one-time code',
  'GET /api/device': 'the tablet’s own token',
  'POST /api/device/session': 'the tablet’s own token and a PIN',
};

/** What only an owner may do. */
const OWNER_ONLY = [
  'POST /api/devices/enrolments',
  'PUT /api/devices/{deviceId}',
  'DELETE /api/devices/{deviceId}',
  'POST /api/staff',
  'PUT /api/staff/{staffId}',
  'PUT /api/staff/{staffId}/pin',
  'DELETE /api/staff/{staffId}/pin',
  'POST /api/staff/{staffId}/leave',
  'POST /api/staff/{staffId}/return',
];

/** Changes that a hand may make: bench work, the own account and calendar, and a question that changes nothing. */
const HAND_CHANGES = [
  'POST /api/bench/entries',
  'PUT /api/bench/photos/{photoId}',
  'DELETE /api/session',
  'DELETE /api/sessions/{sessionId}',
  'PUT /api/password',
  'POST /api/calendar-feeds',
  'POST /api/calendar-feeds/{feedId}/revoke',
  'POST /api/sterilising/traces',
  'POST /api/preparation/grain',
  'POST /api/plan/what-if',
];

let api: TestApi;
let owner: World;
let lead: World;
let hand: World;
let tablet: SharedTablet;
let routes: readonly Described[];
beforeAll(async () => {
  api = await startApi();
  owner = await api.farm('Roles');
  lead = await owner.colleague('lead');
  hand = await owner.colleague('hand');
  tablet = await enrolTablet(api, owner);
  await tablet.signIn(await addWithPin(owner, 'lead', '493017'), '493017');
  const { paths } = (await api.send({ method: 'GET', url: '/api/openapi.json' })).body;
  routes = Object.entries(
    paths as Record<string, Record<string, { security: unknown[]; 'x-minimum-role'?: never }>>,
  ).flatMap(([path, methods]) =>
    Object.entries(methods).map(([method, described]) => ({
      operation: `${method.toUpperCase()} ${path}`,
      isPublic: described.security.length === 0,
      minimumRole: described['x-minimum-role'] ?? null,
    })),
  );
});
afterAll(() => api.close());

const isChange = (operation: string) => !operation.startsWith('GET ');
const address = (path: string) => path.replaceAll(/\{\w+\}/g, () => randomUUID());

/** Sends nothing that could be carried out: what is turned away, is turned away for who asks. */
async function tryIt(
  operation: string,
  who: Pick<World, 'call'>,
): Promise<{ status: number; code: string | undefined }> {
  const [method = '', path = ''] = operation.split(' ');
  const { status, body } = await who.call(method, address(path), isChange(operation) ? { nothing: true } : undefined);
  return { status, code: body?.code };
}

describe('the table and the contracts', () => {
  it('agree on what is open to everybody', () => {
    const open = routes.filter(({ isPublic }) => isPublic).map(({ operation }) => operation);
    expect(open.sort()).toEqual(
      Object.keys(PUBLIC)
        .filter((operation) => open.includes(operation))
        .sort(),
    );
    expect(open).toEqual(expect.arrayContaining(['POST /api/device', 'GET /api/device', 'POST /api/device/session']));
  });

  it('agree on what only an owner may do', () => {
    const found = routes.filter(({ minimumRole }) => minimumRole === 'owner').map(({ operation }) => operation);
    expect(found).toEqual(expect.arrayContaining(OWNER_ONLY));
  });

  it('let a hand change nothing but bench work and the own account', () => {
    const found = routes
      .filter(({ operation, isPublic, minimumRole }) => isChange(operation) && !isPublic && minimumRole === 'hand')
      .map(({ operation }) => operation);
    expect(found.filter((operation) => !HAND_CHANGES.includes(operation))).toEqual([]);
  });
});

describe('the server', () => {
  it('turns everyone away who is not signed in', async () => {
    for (const { operation } of routes.filter(({ isPublic }) => !isPublic)) {
      const call: World['call'] = (method, url, body) => api.send({ method, url, body });
      expect([operation, await tryIt(operation, { call })]).toEqual([
        operation,
        { status: 401, code: 'sign-in-required' },
      ]);
    }
  });

  it('turns a hand away from what needs a lead, and both from what needs an owner', async () => {
    for (const { operation, minimumRole } of routes) {
      const below = minimumRole === 'owner' ? [hand, lead] : minimumRole === 'lead' ? [hand] : [];
      for (const who of below) {
        expect([operation, await tryIt(operation, who)]).toEqual([operation, { status: 403, code: 'role-too-low' }]);
      }
    }
  });

  it('does not turn anyone away whose role is enough', async () => {
    const spared = ['DELETE /api/session', 'POST /api/plan/replan'];
    for (const { operation, minimumRole, isPublic } of routes.filter(({ operation }) => !spared.includes(operation))) {
      if (isPublic || minimumRole === null) continue;
      const who = { hand, lead, owner }[minimumRole];
      const code = await tryIt(operation, who).then(
        (answer) => answer.code,
        () => undefined, // an answer that is no JSON is no problem either
      );
      expect([operation, code]).not.toEqual([operation, 'role-too-low']);
    }
  }, 120_000);

  it('lets a PIN do bench work and nothing else that changes something', async () => {
    for (const { operation, isPublic, minimumRole } of routes) {
      if (isPublic || minimumRole === 'owner' || !isChange(operation) || operation === 'DELETE /api/session') continue;
      const { code } = await tryIt(operation, tablet);
      expect([operation, code === 'password-needed']).toEqual([operation, !BENCH_CHANGES.includes(operation)]);
    }
    expect((await tablet.call('GET', '/api/bench/facts')).status).toBe(200);
  });
});
