import {
  type ChangePassword,
  createdGrowerSchema,
  type SetUp,
  type SignIn,
  setUpStatusSchema,
  type WhoAmI,
  whoAmISchema,
} from '@jarfold/contracts';
import { useMutation, useQuery, useQueryClient } from '@tanstack/react-query';
import { finishLeaving } from '../offline/unfinished-leaving.js';
import { needsSignIn, RequestFailure } from './failure.js';
import { keepAnswer } from './kept-answers.js';
import { keys } from './keys.js';
import { request } from './request.js';

/** Who is signed in; null when nobody is. */
export function useSession() {
  return useQuery({ queryKey: keys.session, queryFn: ({ signal }) => whoAmI(signal), staleTime: 60_000 });
}

/** Whether whoever is signed in may change what the farm plans with: an owner or a lead. Nobody, while that is not known. */
export function useIsLead(): boolean {
  const role = useSession().data?.role;
  return role === 'owner' || role === 'lead';
}

/** Whether whoever is signed in is the owner, who alone says who works here and takes the farm out. */
export const useIsOwner = (): boolean => useSession().data?.role === 'owner';

async function whoAmI(signal: AbortSignal): Promise<WhoAmI | null> {
  if (!(await finishLeaving())) throw new RequestFailure({ kind: 'unreachable' }, 'DELETE /api/session');
  try {
    return await request('/api/session', { answer: whoAmISchema, signal });
  } catch (error) {
    if (needsSignIn(error)) return null;
    throw error;
  }
}

/** Whether this server still waits for its first farm. */
export function useSetUpStatus(enabled: boolean) {
  return useQuery({
    queryKey: keys.setUp,
    queryFn: ({ signal }) => request('/api/set-up', { answer: setUpStatusSchema, signal }),
    enabled,
  });
}

export function useSignIn() {
  const client = useQueryClient();
  return useMutation({
    mutationFn: (body: SignIn) => request('/api/session', { method: 'POST', body, answer: whoAmISchema }),
    onSuccess: (who) => startAfresh(client, who),
  });
}

/** Makes the first farm and its owner, and signs in. */
export function useSetUp() {
  const client = useQueryClient();
  return useMutation({
    mutationFn: async (body: SetUp) => {
      await request('/api/set-up', { method: 'POST', body, answer: createdGrowerSchema });
      const { email, password } = body;
      return request('/api/session', { method: 'POST', body: { email, password }, answer: whoAmISchema });
    },
    onSuccess: (who) => startAfresh(client, who),
  });
}

export function useSignOut() {
  const client = useQueryClient();
  return useMutation({
    mutationFn: () => request('/api/session', { method: 'DELETE', answer: null }),
    onSuccess: async () => {
      await startAfresh(client, null);
      // The bench's copy of the farm goes with the person; work that was not sent yet stays.
      void import('../offline/forget-farm.js').then(({ forgetFarmCopy }) => forgetFarmCopy());
    },
  });
}

/** Nothing kept for one person may be shown to the next. */
async function startAfresh(client: ReturnType<typeof useQueryClient>, who: WhoAmI | null): Promise<void> {
  client.removeQueries({ predicate: ({ queryKey }) => queryKey[0] !== keys.session[0] });
  await keepAnswer(client, keys.session, who);
}

export function useChangePassword() {
  return useMutation({
    mutationFn: (body: ChangePassword) => request('/api/password', { method: 'PUT', body, answer: null }),
  });
}
