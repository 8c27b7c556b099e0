/** The functions compared with; the package's own types are not found for its ES module. */
declare module 'cephes' {
  const cephes: {
    readonly compiled: Promise<void>;
    incbet(a: number, b: number, x: number): number;
    incbi(a: number, b: number, p: number): number;
    lgam(x: number): number;
    lbeta(a: number, b: number): number;
    igam(a: number, x: number): number;
    chdtrc(degrees: number, x: number): number;
    ndtr(z: number): number;
    ndtri(p: number): number;
    bdtr(k: number, n: number, p: number): number;
    pdtr(k: number, mean: number): number;
  };
  export default cephes;
}
