import { connect, createServer, type Server, type Socket } from 'node:net';
import type { SeededRandom } from '@jarfold/domain';

/** Share of connections that something happens to, while faults are on. */
const CUT_AT_ONCE = 0.05;
const CUT_ON_THE_WAY = 0.08;
const CUT_THE_ANSWER = 0.08;
const SLOW = 0.1;

export interface FaultyProxy {
  readonly port: number;
  readonly cuts: () => number;
  faultsOn: boolean;
  close(): Promise<void>;
}

/** A TCP proxy that cuts, half-closes and delays: what it passes on it passes on byte by byte, unread. */
export async function faultyProxy(targetPort: () => number, random: SeededRandom): Promise<FaultyProxy> {
  let cuts = 0;
  const open = new Set<Socket>();
  const proxy = { faultsOn: true };
  const server: Server = createServer((near) => {
    const far = connect(targetPort(), '127.0.0.1');
    for (const socket of [near, far]) {
      open.add(socket);
      socket.on('error', () => undefined);
      socket.on('close', () => {
        open.delete(socket);
        near.destroy();
        far.destroy();
      });
    }
    const cut = () => {
      cuts += 1;
      near.resetAndDestroy();
      far.destroy();
    };
    const drawn = proxy.faultsOn ? random.uniform() : 1;
    if (drawn < CUT_AT_ONCE) return cut();
    if (drawn < CUT_AT_ONCE + CUT_ON_THE_WAY) setTimeout(cut, random.whole(30));
    else if (drawn < CUT_AT_ONCE + CUT_ON_THE_WAY + CUT_THE_ANSWER) far.once('data', cut); // done there, never heard here
    const delayMs = proxy.faultsOn && random.uniform() < SLOW ? 200 + random.whole(1500) : 0;
    near.on('data', (data) => setTimeout(() => far.write(data), delayMs));
    far.on('data', (data) => near.write(data));
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const { port } = server.address() as { port: number };
  return Object.assign(proxy, {
    port,
    cuts: () => cuts,
    close: () =>
      new Promise<void>((resolve) => {
        for (const socket of open) socket.destroy();
        server.close(() => resolve());
      }),
  });
}
