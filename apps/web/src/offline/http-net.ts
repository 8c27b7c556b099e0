import {
  BENCH_PROTOCOL,
  benchBatchAnswerSchema,
  benchChangesSchema,
  benchFactsSchema,
  benchSnapshotSchema,
  GROWER_HEADER,
  PROTOCOL_HEADER,
  problemSchema,
  unpackThings,
} from '@jarfold/contracts';
import type { z } from 'zod';
import type { BenchPicture, ThingNow } from './farm-facts.js';
import type { NetAnswer, NetPort } from './ports.js';
import type { AnyThing } from './thing-shelf.js';

const PATIENCE_MS = 30_000;
const PICTURE_PATIENCE_MS = 120_000;
const BUSY_MS = 5_000;

/** The bench routes over fetch, for one farm. Anything that is not the server's own word counts as not having reached it. */
export function httpNet(growerId: string): NetPort {
  const meant = { [GROWER_HEADER]: growerId };
  return {
    send: (body) => ask('/api/bench/entries', benchBatchAnswerSchema, { body, headers: meant }),
    changes: async (after) => {
      const answer = await ask(`/api/bench/changes?after=${after}`, benchChangesSchema, { headers: meant });
      if (answer.kind !== 'ok') return answer;
      return { kind: 'ok', body: { ...answer.body, things: answer.body.things as unknown as readonly ThingNow[] } };
    },
    snapshot: async () => {
      const options = { headers: meant, patienceMs: PICTURE_PATIENCE_MS };
      const answer = await ask('/api/bench/snapshot', benchSnapshotSchema, options);
      if (answer.kind !== 'ok') return answer;
      return { kind: 'ok', body: pictureOf(answer.body) };
    },
    facts: async (known) => {
      const headers = { ...meant, ...(known === null ? {} : { 'if-none-match': known }) };
      let name: string | null = null;
      const answer = await ask('/api/bench/facts', benchFactsSchema.nullable(), {
        headers,
        onHeaders: (said) => {
          name = said.get('etag');
        },
      });
      if (answer.kind !== 'ok' || answer.body === null) return answer as NetAnswer<null>;
      const { position: _position, ...farm } = answer.body;
      return { kind: 'ok', body: { farm, name } };
    },
  };
}

function pictureOf({ position, things, ...farm }: z.infer<typeof benchSnapshotSchema>): BenchPicture {
  const unpacked = Object.entries(unpackThings(things)).flatMap(([kind, states]) =>
    states.map((state) => ({ kind, state }) as AnyThing),
  );
  return { position, farm, things: unpacked };
}

export interface AskOptions {
  readonly method?: 'GET' | 'POST' | 'PUT' | 'DELETE';
  readonly body?: unknown;
  readonly headers?: Readonly<Record<string, string>>;
  readonly patienceMs?: number;
  readonly onHeaders?: (headers: Headers) => void;
}

/** Asks the server and reads the answer by its contract; an answer without content reads as null. */
export async function ask<T>(path: string, schema: z.ZodType<T>, options: AskOptions = {}): Promise<NetAnswer<T>> {
  const { body, headers = {}, patienceMs = PATIENCE_MS, method = body === undefined ? 'GET' : 'POST' } = options;
  try {
    const response = await fetch(path, {
      method,
      credentials: 'same-origin',
      cache: 'no-store',
      headers: {
        accept: 'application/json, application/problem+json',
        [PROTOCOL_HEADER]: String(BENCH_PROTOCOL),
        ...(body === undefined ? {} : { 'content-type': 'application/json' }),
        ...headers,
      },
      ...(body === undefined ? {} : { body: JSON.stringify(body) }),
      signal: AbortSignal.timeout(patienceMs),
    });
    options.onHeaders?.(response.headers);
    return await answerOf(response, schema);
  } catch {
    return { kind: 'unreachable' };
  }
}

async function answerOf<T>(response: Response, schema: z.ZodType<T>): Promise<NetAnswer<T>> {
  if (response.ok || response.status === 304) {
    const nothing = response.status === 204 || response.status === 304;
    const parsed = schema.safeParse(nothing ? null : await response.json());
    return parsed.success ? { kind: 'ok', body: parsed.data } : { kind: 'unreachable' };
  }
  if (response.status === 429 || response.status === 503) return { kind: 'busy', afterMs: retryAfterMs(response) };
  if (response.status >= 500) return { kind: 'unreachable' };
  const problem = problemSchema.safeParse(await response.json());
  if (!problem.success) return { kind: 'unreachable' };
  const { code, detail, status } = problem.data;
  return code === 'sign-in-required' ? { kind: 'sign-in' } : { kind: 'problem', status, code, detail };
}

function retryAfterMs(response: Response): number {
  const seconds = Number(response.headers.get('retry-after'));
  return Number.isFinite(seconds) && seconds > 0 ? seconds * 1000 : BUSY_MS;
}
