import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { cookieOf, startApi, type TestApi } from '../support/api-app.js';

let api: TestApi;
beforeAll(async () => {
  api = await startApi();
});
afterAll(() => api.close());

describe('signing in', () => {
  it('answers who is signed in and sets a cookie that opens the farm', async () => {
    const farm = await api.farm('Moss Hollow');
    const who = await farm.call('GET', '/api/session');
    expect(who.status).toBe(200);
    expect(who.body).toMatchObject({
      staffId: farm.staffId,
      role: 'owner',
      email: farm.email,
      farm: { growerId: farm.growerId, name: `Moss Hollow ${farm.canary}`, timeZone: 'Europe/Vienna' },
    });
  });
});
