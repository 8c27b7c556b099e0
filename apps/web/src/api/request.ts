import { problemSchema } from '@jarfold/contracts';
import { RequestFailure } from './failure.js';

/** As much of a zod schema as a door needs. */
export interface AnswerSchema<T> {
  safeParse(input: unknown): { success: true; data: T } | { success: false };
}

export interface RequestOptions<T> {
  readonly method?: 'GET' | 'POST' | 'PATCH' | 'PUT' | 'DELETE';
  readonly body?: unknown;
  /** The revision the edit was made on, sent as If-Match. */
  readonly revision?: number;
  /** null: an answer without content. */
  readonly answer: AnswerSchema<T> | null;
  readonly signal?: AbortSignal;
}

/**
 * Asks the server and reads the answer with its contract.
 * @throws RequestFailure always that, whatever went wrong.
 */
export async function request<T>(path: string, options: RequestOptions<T>): Promise<T> {
  const { method = 'GET', answer } = options;
  const where = `${method} ${path.split('?')[0]}`;
  const response = await send(path, options, where);
  if (!response.ok) throw await refusal(response, where);
  if (answer === null) return undefined as T;
  const parsed = answer.safeParse(await json(response));
  if (!parsed.success) throw new RequestFailure({ kind: 'unreadable', status: response.status }, where);
  return parsed.data;
}

/**
 * Fetches a file and throws it away, to learn whether the server gives it before the browser is sent there.
 * @throws RequestFailure always that, whatever went wrong.
 */
export async function requireFile(path: string): Promise<void> {
  const where = `GET ${path.split('?')[0]}`;
  const response = await send(path, { answer: null }, where);
  if (!response.ok) throw await refusal(response, where);
  await response.body?.cancel();
}

async function send<T>(path: string, options: RequestOptions<T>, where: string): Promise<Response> {
  const { method = 'GET', body, revision, signal } = options;
  const headers: Record<string, string> = { accept: 'application/json, application/problem+json' };
  if (body !== undefined) headers['content-type'] = 'application/json';
  if (revision !== undefined) headers['if-match'] = `"${revision}"`;
  try {
    return await fetch(path, {
      method,
      headers,
      credentials: 'same-origin',
      ...(body === undefined ? {} : { body: JSON.stringify(body) }),
      ...(signal ? { signal } : {}),
    });
  } catch (error) {
    if (error instanceof DOMException && error.name === 'AbortError') throw error;
    throw new RequestFailure({ kind: 'unreachable' }, where);
  }
}

async function refusal(response: Response, where: string): Promise<RequestFailure> {
  const parsed = problemSchema.safeParse(await json(response));
  return new RequestFailure(
    parsed.success ? { kind: 'problem', problem: parsed.data } : { kind: 'unreadable', status: response.status },
    where,
  );
}

async function json(response: Response): Promise<unknown> {
  try {
    return await response.json();
  } catch {
    return undefined;
  }
}
