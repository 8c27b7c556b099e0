import { GROWER_HEADER, photoSchema } from '@jarfold/contracts';
import { ask } from '../../offline/http-net.js';
import type { IdbStore } from '../../offline/idb-store.js';
import type { BenchCore } from '../../offline/index.js';

/** What the server says of a picture that it will never take. Whatever else it says no to may be taken another day. */
const NEVER_TAKEN: ReadonlySet<string> = new Set(['invalid-input', 'too-large', 'photo-differs']);

/**
 * Sends pictures whose entry the server has; each leaves the tablet only once the server has said that it keeps it. They
 * name the farm they are of: whoever is signed in for another one meanwhile sends none of them, and loses none.
 */
export function sendPhotos(
  growerId: string,
  core: Pick<BenchCore, 'status' | 'subscribe'>,
  store: Pick<IdbStore, 'photos' | 'dropPhoto'>,
): () => void {
  let sending = false;
  const run = async () => {
    if (sending || !core.status().reached || core.status().unsent > 0) return;
    sending = true;
    try {
      for (const { id, entryId, jpegBase64 } of await store.photos()) {
        const answer = await ask(`/api/bench/photos/${id}`, photoSchema, {
          method: 'PUT',
          body: { entryId, jpegBase64 },
          headers: { [GROWER_HEADER]: growerId },
        });
        if (answer.kind === 'unreachable' || answer.kind === 'busy' || answer.kind === 'sign-in') break;
        if (answer.kind === 'ok' || NEVER_TAKEN.has(answer.code)) await store.dropPhoto(id);
      }
    } finally {
      sending = false;
    }
  };
  return core.subscribe(() => void run());
}
