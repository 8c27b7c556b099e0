export const rates = {} as const;
