import { once } from 'node:events';
import { connect, createServer, type Server, type Socket } from 'node:net';

/** A wire to a server that can be cut: while it is, connecting to it is refused as if the server were off. */
export interface Gate {
  readonly port: number;
  cut(): Promise<void>;
  mend(): Promise<void>;
}

export async function openGate(targetPort: number): Promise<Gate> {
  const wires = new Set<Socket>();
  let server = await listen(targetPort, 0, wires);
  const { port } = server.address() as { port: number };
  return {
    port,
    cut: async () => {
      if (!server.listening) return;
      const closed = once(server, 'close');
      server.close();
      for (const wire of wires) wire.destroy();
      await closed;
    },
    mend: async () => {
      if (server.listening) return;
      server = await listen(targetPort, port, wires);
    },
  };
}

async function listen(targetPort: number, port: number, wires: Set<Socket>): Promise<Server> {
  const server = createServer((near) => {
    const far = connect(targetPort, '127.0.0.1');
    for (const [one, other] of [
      [near, far],
      [far, near],
    ] as const) {
      wires.add(one);
      one.pipe(other);
      one.on('error', () => other.destroy());
      one.on('close', () => {
        wires.delete(one);
        other.destroy();
      });
    }
  });
  server.listen(port, '127.0.0.1');
  await once(server, 'listening');
  return server;
}
