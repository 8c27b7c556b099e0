import { type Answer, cookieOf, type TestApi, type World } from './api-app.js';

/** An enrolled tablet of a farm, with whoever is signed in on it by PIN. */
export interface SharedTablet {
  readonly deviceId: string;
  /** Its own cookie, whoever is signed in. */
  readonly cookie: string;
  /** Sends as the tablet, with the session of who signed in last. */
  call(method: string, url: string, body?: unknown, headers?: Readonly<Record<string, string>>): Promise<Answer>;
  /** Tries a PIN; on success the next calls are that person's. */
  signIn(staffId: string, pin: string): Promise<Answer>;
}

export async function enrolTablet(api: TestApi, owner: World, name = 'Bench tablet'): Promise<SharedTablet> {
  const offered = await owner.call('POST', '/api/devices/enrolments', { name });
  const enrolled = await api.send({ method: 'POST', url: '/api/device', body: { code: offered.body.code } });
  if (enrolled.status !== 201) throw new Error(`Enrolling failed: ${enrolled.text}`);
  const cookie = cookieOf(enrolled);
  let session: string | null = null;
  const call: SharedTablet['call'] = (method, url, body, headers) =>
    api.send({
      method,
      url,
      body,
      headers: { cookie: session === null ? cookie : `${cookie}; ${session}`, ...headers },
    });
  return {
    deviceId: enrolled.body.deviceId,
    cookie,
    call,
    signIn: async (staffId, pin) => {
      const answer = await call('POST', '/api/device/session', { staffId, pin });
      if (answer.status === 201) session = cookieOf(answer);
      return answer;
    },
  };
}

/** Somebody new on the farm, with a PIN. */
export async function addWithPin(owner: World, role: 'hand' | 'lead', pin: string, name = 'Invented'): Promise<string> {
  const added = await owner.call('POST', '/api/staff', { name, role, pin });
  if (added.status !== 201) throw new Error(`Adding staff failed: ${added.text}`);
  return added.body.staffId;
}
