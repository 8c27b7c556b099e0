import { groupedBy } from '@jarfold/domain';

/** Things sorted by their kind, kinds in the order in which they first appear. */
export const byKind = <T extends { readonly kind: string }>(things: readonly T[]): Map<T['kind'], T[]> =>
  groupedBy(things, ({ kind }) => kind);
