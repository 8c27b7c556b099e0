import { beforeEach, describe, expect, it } from '@jest/globals';
import { QueryClient, type QueryKey, QueryObserver } from '@tanstack/react-query';
import { askAnew, keepAnswer } from './kept-answers.js';

const KEY: QueryKey = ['files'];

/** Questions that were put, each to be answered by the test. */
let asked: ((answer: string) => void)[];
let client: QueryClient;
let shown: QueryObserver<string>;

beforeEach(() => {
  asked = [];
  client = new QueryClient({ defaultOptions: { queries: { retry: false } } });
  const queryFn = ({ signal }: { signal: AbortSignal }) => {
    signal.throwIfAborted();
    return new Promise<string>((resolve) => asked.push(resolve));
  };
  shown = new QueryObserver(client, { queryKey: KEY, queryFn });
});

/** A screen that was just opened: its first question is under way. */
function open(): () => void {
  return shown.subscribe(() => undefined);
}

const settled = () => new Promise((resolve) => setImmediate(resolve));

describe('asking anew after a change', () => {
  it('never takes the answer to a question from before the change, even the first of a screen', async () => {
    const close = open();
    await settled();
    const anew = askAnew(client, KEY);
    await settled();
    expect(asked).toHaveLength(2);
    asked[1]!('after');
    asked[0]!('before');
    await anew;
    await settled();
    expect(shown.getCurrentResult()).toMatchObject({ data: 'after', fetchStatus: 'idle' });
    close();
  });

  it('asks for names below it too, unless told not to', async () => {
    const below = new QueryObserver(client, { queryKey: [...KEY, 'one'], queryFn: async () => 'one', staleTime: 1e9 });
    const close = [open(), below.subscribe(() => undefined)];
    await settled();
    asked[0]!('list');
    await settled();
    const before = below.getCurrentResult().dataUpdatedAt;
    await new Promise((resolve) => setTimeout(resolve, 2));
    const exactly = askAnew(client, KEY, true);
    await settled();
    asked[1]!('list');
    await exactly;
    expect(below.getCurrentResult().dataUpdatedAt).toBe(before);
    const all = askAnew(client, KEY);
    await settled();
    asked[2]!('list');
    await all;
    expect(below.getCurrentResult().dataUpdatedAt).toBeGreaterThan(before);
    for (const one of close) one();
  });
});

describe('keeping what a change answered', () => {
  it('is not overwritten by a question from before the change', async () => {
    const close = open();
    await settled();
    await keepAnswer(client, KEY, 'after');
    asked[0]!('before');
    await settled();
    expect(shown.getCurrentResult()).toMatchObject({ data: 'after', fetchStatus: 'idle' });
    close();
  });
});
