import { afterAll, beforeAll, describe, expect, it, jest } from '@jest/globals';
import { startApi, type TestApi, type World } from '../support/api-app.js';
import { hostileFiles } from '../support/hostile-files.js';

jest.setTimeout(120_000);

const MB = 1024 * 1024;
const FILE = { 'content-type': 'application/octet-stream' };

let api: TestApi;
let farm: World;

beforeAll(async () => {
  api = await startApi();
  farm = await api.farm('Farm');
}, 120_000);
afterAll(() => api.close());

const runs = async () => (await farm.call('GET', '/api/runs?state=all')).body.items;

describe('a file sent to the farm', () => {
  const files = hostileFiles();

  it('comes in more than 25 broken and hostile kinds', () => {
    expect(files.length).toBeGreaterThan(25);
    expect(new Set(files.map(({ what }) => what)).size).toBe(files.length);
  });

  it.each(files)(
    'that is $what is answered with what is wrong and what to do, and changes nothing',
    async ({ bytes, code }) => {
      const before = process.memoryUsage().rss;
      const answer = await farm.call('POST', '/api/imports/workbook?name=week.xlsx', bytes, FILE);
      expect(answer.status).toBe(201);
      const [problem, ...others] = answer.body.problems;
      expect(others).toEqual([]);
      expect(problem.code).toBe(code);
      for (const words of [problem.rule, problem.advice]) expect(words).toMatch(/^[A-Z“"].*\.$/s);
      // Of this process: the file is unpacked in another, with a limit of its own.
      expect(process.memoryUsage().rss - before).toBeLessThan(150 * MB);
      const { id } = answer.body.import;
      const applied = await farm.call('POST', `/api/imports/workbook/${id}/apply`, {
        seen: 'x'.repeat(64),
        choices: {},
      });
      expect(applied.status).toBeGreaterThanOrEqual(400);
      expect(applied.status).toBeLessThan(500);
      expect(await runs()).toEqual([]);
      expect((await api.send({ method: 'GET', url: '/healthz' })).status).toBe(200);
    },
  );

  it('of more than 20 MB is refused at the door', async () => {
    const answer = await farm.call('POST', '/api/imports/workbook?name=big.xlsx', Buffer.alloc(20 * MB + 1), FILE);
    expect(answer.status).toBe(413);
  });
});
