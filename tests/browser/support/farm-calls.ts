/** Calls of the public API by somebody who is signed in. */
export interface FarmCalls {
  /** @throws Error with what was said, when it is no. */
  call(method: string, path: string, body?: unknown): Promise<never>;
}

/** Signs in with a password and calls on. */
export async function callsOf(
  address: string,
  account: { readonly email: string; readonly password: string },
): Promise<FarmCalls> {
  const signedIn = await send(address, '', 'POST', '/api/session', account);
  const cookie = signedIn.headers.getSetCookie()[0]?.split(';')[0] ?? '';
  return {
    call: async (method, path, body) => {
      const answer = await send(address, cookie, method, path, body);
      const text = await answer.text();
      return (text === '' ? undefined : JSON.parse(text)) as never;
    },
  };
}

async function send(address: string, cookie: string, method: string, path: string, body?: unknown): Promise<Response> {
  const answer = await fetch(`${address}${path}`, {
    method,
    headers: { cookie, ...(body === undefined ? {} : { 'content-type': 'application/json' }) },
    ...(body === undefined ? {} : { body: JSON.stringify(body) }),
  });
  if (!answer.ok) throw new Error(`${method} ${path}: ${answer.status} ${await answer.text()}`);
  return answer;
}
