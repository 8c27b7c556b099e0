import type { LocalFarm, OwnEntry } from '../../offline/index.js';

/** The codes of the jars an entry names, as far as this tablet knows them. */
export function jarCodesOf({ payload }: Pick<OwnEntry, 'payload'>, view: LocalFarm): readonly string[] {
  return idsIn(payload).flatMap((id) => view.thing('jar', id)?.code ?? []);
}

function idsIn(payload: Readonly<Record<string, unknown>>): readonly string[] {
  const lists = ['jarIds', 'jars', 'moves', 'draws', 'mothers'].flatMap((name) => {
    const list = payload[name];
    return Array.isArray(list) ? (list as unknown[]) : [];
  });
  return [...lists, payload.jarId].flatMap((item) => {
    if (typeof item === 'string') return [item];
    const jarId = (item as { readonly jarId?: unknown } | null | undefined)?.jarId;
    return typeof jarId === 'string' ? [jarId] : [];
  });
}
