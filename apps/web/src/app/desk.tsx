import '../messages/desk-words.js';
import { MutationCache, QueryCache, QueryClient, QueryClientProvider } from '@tanstack/react-query';
import { StrictMode } from 'react';
import { createRoot } from 'react-dom/client';
import { needsSignIn, RequestFailure } from '../api/failure.js';
import { keys } from '../api/keys.js';
import { App } from './App.js';

const MAX_TRIES = 2;

/** A session that ended elsewhere shows the sign-in screen in place; the address stays, so the person comes back to it. */
const onError = (error: unknown) => {
  if (needsSignIn(error)) client.setQueryData(keys.session, null);
};

const client = new QueryClient({
  queryCache: new QueryCache({ onError }),
  mutationCache: new MutationCache({ onError }),
  defaultOptions: {
    queries: {
      staleTime: 5_000,
      // What the server refused will be refused again; only what did not arrive is worth another try unasked.
      retry: (tries, error) =>
        tries < MAX_TRIES && error instanceof RequestFailure && error.reason.kind === 'unreachable',
      networkMode: 'always',
    },
    mutations: { networkMode: 'always' },
  },
});

const root = document.getElementById('root');
if (root) {
  createRoot(root).render(
    <StrictMode>
      <QueryClientProvider client={client}>
        <App />
      </QueryClientProvider>
    </StrictMode>,
  );
}
