/** Calendar feeds, read by an independent parser of RFC 5545. */
import { calendarText } from '@jarfold/domain';
import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import fc from 'fast-check';
import ICAL from 'ical.js';
import { startApi, type TestApi, type World } from '../support/api-app.js';

let api: TestApi;
let farm: World;

beforeAll(async () => {
  api = await startApi({ clock: () => new Date('2026-11-25T09:00:00Z') });
  farm = await api.farm('Farm');
  await farm.call('POST', '/api/farm/first-start', {
    strain: { speciesKey: 'pleurotus-ostreatus' },
    ripeJars: 4,
    run: { day: '2027-01-11', substrateWetKg: 40 },
  });
  // A busy machine may leave the first plan to the worker; here somebody waits for it.
  expect((await farm.call('POST', '/api/plan')).status).toBe(200);
});
afterAll(() => api.close());

const eventsOf = (text: string) =>
  new ICAL.Component(ICAL.parse(text)).getAllSubcomponents('vevent').map((part) => new ICAL.Event(part));
const addFeed = async (world: World, of: 'farm' | 'person') =>
  (await world.call('POST', '/api/calendar-feeds', { name: 'Phone', of })).body;
const readFeed = ({ path }: { path: string }) => api.send({ method: 'GET', url: path });

describe('a calendar feed', () => {
  it('tells bench days, preparation, runs and ageing out as whole days to who knows its address', async () => {
    const answer = await readFeed(await addFeed(farm, 'farm'));
    expect(answer.headers['content-type']).toContain('text/calendar');
    const events = eventsOf(answer.text);
    const run = events.find(({ summary }) => summary.startsWith('Bulk run'));
    expect(run?.startDate.toString()).toBe('2027-01-11');
    expect(run?.startDate.isDate).toBe(true);
    expect(run?.endDate.toString()).toBe('2027-01-12');
    const kinds = new Set(events.map(({ summary }) => summary.split(/[ :]/)[0]));
    expect([...kinds].sort()).toEqual(['Bench', 'Bulk', 'Last', 'Prepare']);
    expect(new Set(events.map(({ uid }) => uid)).size).toBe(events.length);
  });

  it('shows a hand the work at the bench only', async () => {
    const events = eventsOf((await readFeed(await addFeed(await farm.colleague('hand'), 'person'))).text);
    expect(events.length).toBeGreaterThan(0);
    expect(events.every(({ summary }) => /^(Bench day|Prepare|Check)/.test(summary))).toBe(true);
  });

  it('answers nobody once it is revoked, and nobody who guesses', async () => {
    const made = await addFeed(farm, 'farm');
    expect((await farm.call('POST', `/api/calendar-feeds/${made.feed.id}/revoke`)).body.revokedAt).not.toBeNull();
    expect((await readFeed(made)).status).toBe(404);
    expect((await readFeed({ path: `/api/calendar/${farm.growerId}/${'A'.repeat(43)}.ics` })).status).toBe(404);
  });

  it('of the whole farm is made by a lead; another farm sees and revokes none of it', async () => {
    const hand = await farm.colleague('hand');
    expect((await hand.call('POST', '/api/calendar-feeds', { name: 'All', of: 'farm' })).status).toBe(403);
    const made = await addFeed(farm, 'farm');
    const other = await api.farm('Other');
    expect((await other.call('POST', `/api/calendar-feeds/${made.feed.id}/revoke`)).status).toBe(404);
    expect((await other.call('GET', '/api/calendar-feeds')).body.items).toEqual([]);
  });
});

describe('calendar text', () => {
  it('comes back from the parser as it went in, in lines of at most 75 octets', () => {
    const words = fc
      .string({ unit: 'grapheme', maxLength: 120 })
      .map((text) => text.replace(/[\p{Cc}\ud800-\udfff]/gu, '-'));
    fc.assert(
      fc.property(words, words, (summary, description) => {
        const event = { id: 'a', day: '2026-12-31' as never, summary, description, category: 'Check' };
        const text = calendarText({ name: 'Farm', madeAt: '2026-11-25T09:00:00.000Z', events: [event] });
        for (const line of text.split('\r\n')) expect(Buffer.byteLength(line)).toBeLessThanOrEqual(75);
        const [read] = eventsOf(text);
        expect([read?.summary ?? '', read?.description ?? '']).toEqual([summary, description]);
        expect(read?.endDate.toString()).toBe('2027-01-01');
      }),
    );
  });
});
