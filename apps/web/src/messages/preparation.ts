export const preparation = {} as const;
