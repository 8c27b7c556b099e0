/** What a recall is asked of: one jar or one lot, by id or by the code on its label. */
export type RecallOf = { readonly jarId: string } | { readonly lotId: string } | { readonly code: string };

/** The address of a recall; it can be sent to someone. */
export const recallHref = (of: RecallOf): string => `/recall?${new URLSearchParams(of as Record<string, string>)}`;
