export const recall = {} as const;
