import type { Jar } from '@jarfold/domain';
import { describe, expect, it } from '@jest/globals';
import type { FarmFacts, LocalFarm, OwnEntry } from '../../offline/index.js';
import { entriesSince, jarsGivenSince, todaysJobs } from './jobs.js';
import { openOrders } from './open-orders.js';
import { fitsOrder } from './which-jars.js';

const jar = (more: Partial<Jar> = {}) =>
  ({ sizeId: 'litre', blank: false, openedOn: null, madeG: 600, leftG: 600, ...more }) as Jar;
const run = (id: string, more: object = {}) => ({ id, name: id, day: '2026-12-01', open: true, order: null, ...more });
const order = { sizeId: 'litre', jars: 5, handedOver: 1 };
const drawn = (runId: string, jars: number, more: object = {}) =>
  ({
    ...{ kind: 'drawn_for_run', state: 'unsent', position: null, images: [], ...more },
    payload: { runId, draws: Array.from({ length: jars }, () => ({})) },
  }) as unknown as OwnEntry;

describe('jars for an order', () => {
  it('are whole, unopened, of its size and hold spawn', () => {
    expect(fitsOrder(jar(), order)).toBe(true);
    const others: Partial<Jar>[] = [
      { sizeId: 'half' },
      { openedOn: '2026-11-30' as Jar['openedOn'] },
      { leftG: 300 },
      { leftG: 0 },
      { blank: true },
    ];
    for (const other of others) expect([other, fitsOrder(jar(other), order)]).toEqual([other, false]);
  });

  it('count as given once this tablet has noted it, sent or not, until the farm counts them itself', () => {
    const own = [
      drawn('a', 2),
      drawn('b', 1),
      drawn('a', 1, { state: 'applied', position: 12 }),
      drawn('a', 4, { state: 'applied', position: 9 }),
      drawn('a', 8, { state: 'refused' }),
    ];
    expect(jarsGivenSince('a', entriesSince(own, 10))).toBe(3);
  });

  it('are a job told in jars, not in grams', () => {
    const use = {
      key: 'use a',
      kind: 'use',
      runId: 'a',
      from: null,
      sources: [],
      unit: 'grams',
      wanted: 2340,
      done: 600,
    };
    const farm = {
      jobs: { jobs: [use] },
      runs: [run('a', { order, name: 'Hill farm' })],
      sizes: [{ id: 'litre', name: 'Litre', ripeG: 600 }],
      strains: [],
    } as unknown as FarmFacts;
    const [card] = todaysJobs(farm, {} as LocalFarm, []);
    expect(card).toMatchObject({ title: 'job.handOver', unit: 'containers', wanted: 4, done: 1, ready: false });
    expect(card).toMatchObject({ runName: 'Hill farm', sizeName: 'Litre', href: '/hand-over?run=a' });
  });
});

describe('open orders', () => {
  it('are the planned ones, the soonest first; facts kept from before there were orders name none', () => {
    const { order: _, ...old } = run('old');
    const runs = [
      run('later', { order, day: '2026-12-09' }),
      run('bulk'),
      run('done', { order, open: false }),
      old,
      run('soon', { order }),
    ] as unknown as FarmFacts['runs'];
    expect(openOrders(runs).map(({ id }) => id)).toEqual(['soon', 'later']);
  });
});
