/** Stops the server that global-setup started. Both projects of a run call it; the second finds nothing to do. */
export default async function globalTeardown(): Promise<void> {
  const server = globalThis.jarfoldTestServer;
  globalThis.jarfoldTestServer = undefined;
  await server?.stop();
}
