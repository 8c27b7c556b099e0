/** What people can give at the bench and when they are away: kept, changed by a lead, and followed by the plan. */
import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { startApi, type TestApi, type World } from '../support/api-app.js';

const MONDAY = new Date('2026-11-23T09:00:00Z');

let api: TestApi;
let farm: World;
beforeAll(async () => {
  api = await startApi({ clock: () => MONDAY });
  farm = await api.farm('Hands');
});
afterAll(() => api.close());

interface Member {
  readonly staffId: string;
  readonly revision: number;
}

const added = async (name: string, world = farm): Promise<Member> =>
  (await world.call('POST', '/api/staff', { name, role: 'hand' })).body;
const say = ({ staffId, revision }: Member, time: object, world = farm) =>
  world.call('PUT', `/api/staff/${staffId}/bench-time`, time, { 'if-match': `"${revision}"` });
const away = (firstDay: string, lastDay = firstDay) => ({ firstDay, lastDay, note: null });

describe('bench time', () => {
  it('is not said of anybody at first, and is kept whole, its days away in order', async () => {
    const ada = await added('Ada');
    expect(ada).toMatchObject({ benchMinutes: null, away: [] });
    const late = { firstDay: '2026-12-23', lastDay: '2027-01-03', note: 'Holidays' };
    const said = await say(ada, { benchMinutes: 90, away: [late, away('2026-12-02')] });
    expect(said).toMatchObject({ status: 200, body: { benchMinutes: 90, revision: 2 } });
    expect(said.body.away).toEqual([away('2026-12-02'), late]);
    const fewer = await say(said.body, { benchMinutes: null, away: [late] });
    expect(fewer.body).toMatchObject({ benchMinutes: null, away: [late] });
    const { items } = (await farm.call('GET', '/api/staff')).body;
    expect(items.find(({ staffId }: Member) => staffId === ada.staffId)).toEqual(fewer.body);
  });

  it.each([
    ['a last day before the first', [away('2026-12-03', '2026-12-02')], '/away/0/lastDay'],
    ['two periods that begin on one day', [away('2026-12-02'), away('2026-12-02', '2026-12-04')], '/away'],
    ['a day that does not exist', [away('2026-02-30')], '/away/0/firstDay'],
  ])('refuses %s and changes nothing', async (_, periods, pointer) => {
    const ben = await added('Ben');
    const refused = await say(ben, { benchMinutes: 30, away: periods });
    expect(refused).toMatchObject({ status: 400, body: { code: 'invalid-input' } });
    expect(refused.body.errors.map((each: { pointer: string }) => each.pointer)).toContain(pointer);
    expect((await say(ben, { benchMinutes: 30, away: [] })).body.revision).toBe(2);
  });

  it('is no matter of somebody who has left, and goes with an erased name', async () => {
    const cora = await added('Cora');
    const { body } = await say(cora, { benchMinutes: 60, away: [{ ...away('2026-12-02'), note: 'At the sea' }] });
    const left = await farm.call(
      'POST',
      `/api/staff/${cora.staffId}/leave`,
      { forgetName: true },
      { 'if-match': `"${body.revision}"` },
    );
    expect(left.body).toMatchObject({ active: false, away: [] });
    expect(await say(left.body, { benchMinutes: 60, away: [] })).toMatchObject({
      status: 422,
      body: { code: 'rule-refused' },
    });
    expect(JSON.stringify(await api.database.sql('SELECT * FROM staff_away'))).not.toContain('At the sea');
  });
});

describe('the plan of a farm whose people say their minutes', () => {
  let small: World;
  let dora: Member;

  interface Start {
    readonly benchDay: string;
    readonly containers: number;
  }
  const onBench = async (day: string): Promise<number> => {
    const { newest } = (await small.call('GET', '/api/plan')).body;
    const starts = newest.plan.starts.filter(({ benchDay }: Start) => benchDay === day) as readonly Start[];
    return starts.reduce((count, { containers }) => count + containers, 0);
  };
  const replanned = async (): Promise<boolean> => (await small.call('POST', '/api/plan')).body.changed;
  const busiest = async (): Promise<string> => {
    const { newest } = (await small.call('GET', '/api/plan')).body;
    const days = [...new Set(newest.plan.starts.map(({ benchDay }: Start) => benchDay))] as string[];
    const counts = await Promise.all(days.map(async (day) => ({ day, count: await onBench(day) })));
    return counts.sort((one, other) => other.count - one.count)[0]!.day;
  };

  beforeAll(async () => {
    small = await api.farm('Small');
    await small.call('POST', '/api/farm/first-start', {
      strain: { speciesKey: 'pleurotus-ostreatus' },
      ripeJars: 6,
      run: { day: '2027-01-08', substrateWetKg: 60 },
    });
    await replanned();
    dora = await added('Dora', small);
    dora = (await say(dora, { benchMinutes: 240, away: [] }, small)).body;
    await replanned();
  });

  it('starts nothing on a bench day on which nobody is there, and looks for another', async () => {
    const day = await busiest();
    expect(await onBench(day)).toBeGreaterThan(0);
    dora = (await say(dora, { benchMinutes: 240, away: [away(day)] }, small)).body;
    expect(await replanned()).toBe(true);
    expect(await onBench(day)).toBe(0);
    expect(await onBench(await busiest())).toBeGreaterThan(0);
  });

  it('starts no more than the minutes of those who are there allow', async () => {
    // Three minutes a jar, unless the farm says otherwise.
    const ella = await added('Ella', small);
    dora = (await say(dora, { benchMinutes: 6, away: [] }, small)).body;
    await say(ella, { benchMinutes: 9, away: [] }, small);
    expect(await replanned()).toBe(true);
    expect(await onBench(await busiest())).toBe(5);
  });

  it('stays the same over a day away that is no bench day', async () => {
    const thursday = '2026-12-03';
    expect(await say(dora, { benchMinutes: 6, away: [away(thursday)] }, small)).toMatchObject({ status: 200 });
    expect(await replanned()).toBe(false);
  });

  it('says what would be if somebody was away, and keeps nothing of it', async () => {
    const { newest: before } = (await small.call('GET', '/api/plan')).body;
    const suppose = (staffId: string, from: string, until: string) =>
      small.call('POST', '/api/plan/what-if', { suppose: [{ kind: 'person-away', staffId, from, until }] });
    const answer = await suppose(dora.staffId, '2026-11-23', '2027-02-28');
    expect(answer.status).toBe(200);
    // Of 15 minutes the nine of the other are left: three jars a bench day instead of five.
    const counts = answer.body.starts.map(({ now }: { now: number }) => now);
    expect(Math.max(...counts)).toBe(3);
    // What that costs may go either way: fewer jars are cheaper, and cover the run less surely.
    const fewer = answer.body.starts.filter(({ before: was, now }: Record<'before' | 'now', number>) => now < was);
    expect(fewer).not.toEqual([]);
    expect((await small.call('GET', '/api/plan')).body.newest).toEqual(before);
    const hand = await small.colleague('hand');
    const person = { kind: 'person-away', staffId: dora.staffId, from: '2026-12-01', until: '2026-12-31' };
    const askedByHand = await hand.call('POST', '/api/plan/what-if', { suppose: [person] });
    expect(askedByHand).toMatchObject({ status: 403, body: { code: 'role-too-low' } });
    const silent = await added('Silent', small);
    for (const [staffId, from, until, why] of [
      [silent.staffId, '2026-12-01', '2026-12-31', 'how many minutes'],
      [dora.staffId, '2026-12-31', '2026-12-01', 'no span'],
      [farm.staffId, '2026-12-01', '2026-12-31', 'Nobody with this id'],
    ] as const) {
      const refused = await suppose(staffId, from, until);
      expect(refused).toMatchObject({ status: 422, body: { code: 'rule-refused' } });
      expect(refused.body.detail).toContain(why);
    }
  });
});
