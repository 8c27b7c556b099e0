/**
 * Signs a person in to a running service.
 *
 * @param {string} address of the service
 * @param {{ email: string, password: string }} person
 * @param {typeof fetch} ask how requests are made
 * @returns {Promise<{ cookie: string, call: (method: string, path: string, body?: unknown, headers?: object) => Promise<any> }>}
 *   `call` sends text as it is and anything else as JSON, and throws with the answer when that is not a good one
 */
export async function signedIn(address, { email, password }, ask = fetch) {
  const json = { 'content-type': 'application/json' };
  const request = { method: 'POST', headers: json, body: JSON.stringify({ email, password }) };
  const session = await ask(`${address}/api/session`, request);
  if (!session.ok) throw new Error(`Signing in failed: ${await session.text()}`);
  const cookie = session.headers.getSetCookie()[0]?.split(';')[0] ?? '';
  const call = async (method, path, body, headers = {}) => {
    const sent = typeof body === 'string' ? body : JSON.stringify(body);
    const answer = await ask(address + path, {
      method,
      headers: { cookie, ...(body === undefined ? {} : json), ...headers },
      ...(body === undefined ? {} : { body: sent }),
    });
    if (!answer.ok) throw new Error(`${method} ${path}: ${answer.status} ${await answer.text()}`);
    return answer.json();
  };
  return { cookie, call };
}
