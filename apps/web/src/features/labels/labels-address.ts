/** Whose labels: all standing jars of a lot, or jars by id. */
export type LabelsOf = { readonly lotId: string } | { readonly jarIds: readonly string[] };

/** So many ids still fit an address line that every server on the way takes. */
export const MOST_JARS_BY_ID = 200;

/** Where the labels lie as PDF, on the farm's own layout. */
export function labelsAddress(of: LabelsOf, used = 0): string {
  const query = new URLSearchParams('lotId' in of ? { lotId: of.lotId } : { jarIds: of.jarIds.join(',') });
  if (used > 0) query.set('skip', String(used));
  return `/api/labels?${query}`;
}
