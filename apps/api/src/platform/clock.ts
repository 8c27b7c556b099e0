/** Injection token of the wall clock (`Clock` of the platform is an interface, which cannot be one). */
export const CLOCK = Symbol('jarfold:clock');
