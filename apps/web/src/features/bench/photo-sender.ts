import { photoSchema } from '@jarfold/contracts';
import { ask } from '../../offline/http-net.js';
import type { IdbStore } from '../../offline/idb-store.js';
import type { BenchCore } from '../../offline/index.js';

/** Sends pictures whose entry the server has; each leaves the tablet only once the server has said that it keeps it. */
export function sendPhotos(core: BenchCore, store: IdbStore): () => void {
  let sending = false;
  const run = async () => {
    if (sending || !core.status().reached || core.status().unsent > 0) return;
    sending = true;
    try {
      for (const { id, entryId, jpegBase64 } of await store.photos()) {
        const answer = await ask(`/api/bench/photos/${id}`, photoSchema, {
          method: 'PUT',
          body: { entryId, jpegBase64 },
        });
        if (answer.kind === 'unreachable' || answer.kind === 'busy' || answer.kind === 'sign-in') break;
        // A picture the server refuses as such (not a picture, its entry refused) will never be taken.
        if (answer.kind === 'ok' || [400, 409, 413, 422].includes(answer.status)) await store.dropPhoto(id);
      }
    } finally {
      sending = false;
    }
  };
  return core.subscribe(() => void run());
}
