/**
 * Somebody signed out of their own device while the server could not be reached: their session would open the farm
 * again as soon as the network is back. The device remembers that it has to be ended, and ends it before anything asks
 * who is signed in. Nothing about the farm or the person is kept for it.
 */
const MARK = 'jarfold-leaving';
const TOO_MANY_REQUESTS = 429;

export function rememberLeaving(): void {
  localStorage.setItem(MARK, '1');
}

/** Ends the session that was left; true when none is left to end. A server that cannot be reached is asked again later. */
export async function finishLeaving(): Promise<boolean> {
  if (localStorage.getItem(MARK) === null) return true;
  try {
    const { status } = await fetch('/api/session', { method: 'DELETE', credentials: 'same-origin' });
    if (status >= 500 || status === TOO_MANY_REQUESTS) return false;
  } catch {
    return false;
  }
  localStorage.removeItem(MARK);
  return true;
}
