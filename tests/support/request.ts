import type { Answer, World } from './api-app.js';
import type { BuiltRequest } from './recipes/index.js';

/** Sends a built request to an operation named as `METHOD /path/{param}`. */
export function sendRequest(operation: string, request: BuiltRequest, world: World): Promise<Answer> {
  const [method = '', template = ''] = operation.split(' ');
  const path = template.replaceAll(/\{(\w+)\}/g, (_, name: string) => encodeURIComponent(request.params?.[name] ?? ''));
  const query = new URLSearchParams(request.query).toString();
  const url = query === '' ? path : `${path}?${query}`;
  return (request.as ?? world).call(method, url, request.body, request.headers);
}

/** What of a request a caller fills in. */
export type RequestParts = Pick<BuiltRequest, 'params' | 'query' | 'body'>;

export const partsOf = ({ params, query, body }: BuiltRequest): RequestParts => ({
  ...(params ? { params } : {}),
  ...(query ? { query } : {}),
  ...(body === undefined ? {} : { body }),
});

/** A key within a JSON pointer (RFC 6901). */
const escaped = (key: string): string => key.replaceAll('~', '~0').replaceAll('/', '~1');
const unescaped = (key: string): string => key.replaceAll('~1', '/').replaceAll('~0', '~');

/** Pointers of every single value in a request that passes the test. */
export function leafPointers(value: unknown, wanted: (leaf: unknown) => boolean, at = ''): string[] {
  if (typeof value !== 'object' || value === null || value instanceof Uint8Array) return wanted(value) ? [at] : [];
  return Object.entries(value).flatMap(([key, member]) => leafPointers(member, wanted, `${at}/${escaped(key)}`));
}

export function valueAt(value: unknown, pointer: string): unknown {
  return pointer
    .split('/')
    .slice(1)
    .map(unescaped)
    .reduce<unknown>((inner, key) => (inner as Record<string, unknown> | undefined)?.[key], value);
}

/** A copy with another value at the pointer. */
export function withValueAt<T>(value: T, pointer: string, replacement: unknown): T {
  const copy = structuredClone(value) as unknown as Record<string, unknown>;
  const keys = pointer.split('/').slice(1).map(unescaped);
  const last = keys.pop() ?? '';
  const holder = keys.reduce<Record<string, unknown>>((inner, key) => inner[key] as Record<string, unknown>, copy);
  holder[last] = replacement;
  return copy as T;
}
