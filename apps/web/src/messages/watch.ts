export const watch = {} as const;
