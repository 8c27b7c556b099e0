/** The part of jstat that is used here; the package brings no types. */
declare module 'jstat' {
  interface Continuous2 {
    cdf(x: number, first: number, second: number): number;
    inv(p: number, first: number, second: number): number;
  }
  interface JStat {
    gammaln(x: number): number;
    betaln(a: number, b: number): number;
    readonly beta: Continuous2;
    readonly normal: Continuous2;
    readonly gamma: Continuous2;
    readonly chisquare: { cdf(x: number, degrees: number): number; inv(p: number, degrees: number): number };
    readonly studentt: { inv(p: number, degrees: number): number };
    readonly binomial: { cdf(k: number, n: number, p: number): number };
    readonly poisson: { cdf(k: number, mean: number): number };
  }
  const jstat: { readonly jStat: JStat };
  export default jstat;
}
