export const sterilising = {} as const;
