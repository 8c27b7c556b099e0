import { execFileSync } from 'node:child_process';
import {
  type Between,
  benjaminiHochberg,
  betaCdf,
  betaQuantile,
  binomialCdf,
  fisherExact,
  gammaCdf,
  gammaQuantile,
  hochberg,
  holm,
  kaplanMeier,
  logisticRegression,
  logRank,
  normalQuantile,
  poissonCdf,
  rateEstimate,
  restrictedMean,
  simpleSmoothing,
  studentQuantile,
  type Watched,
  weibullFit,
} from '@jarfold/domain';
import { describe, expect, it } from '@jest/globals';

/**
 * The same numbers by another language's own library, where it is installed (Debian: r-base-core, r-cran-survival). It
 * is a second opinion on the grids below, not needed to run the tests.
 */
function runsR(expression: string): string | null {
  try {
    return execFileSync('Rscript', ['--vanilla', '-e', expression], {
      encoding: 'utf8',
      timeout: 60_000,
      stdio: ['ignore', 'pipe', 'ignore'],
    });
  } catch {
    return null;
  }
}

const version = runsR('cat(as.character(getRversion()))');
const survival = version !== null && runsR('library(survival); cat("yes")') === 'yes';
const withR = version === null ? describe.skip : describe;
const withSurvival = survival ? describe : describe.skip;

/** Values of R expressions, each a number or a vector, to 15 digits. */
function r(expressions: readonly string[], before = ''): number[][] {
  const script = expressions
    .map((each) => `cat(format(as.numeric(${each}), digits = 15, trim = TRUE, scientific = TRUE), "\\n")`)
    .join('\n');
  const text = runsR(`${before}\n${script}`);
  if (text === null) throw new Error('R failed on the script.');
  return text
    .trim()
    .split('\n')
    .map((line) => line.trim().split(/\s+/).map(Number));
}

function expectAlike(pairs: readonly (readonly [expression: string, ours: number])[], digits: number): void {
  const theirs = r([`c(${pairs.map(([expression]) => expression).join(', ')})`])[0]!;
  pairs.forEach(([expression, ours], i) => {
    const difference = Math.abs(ours - theirs[i]!) / Math.max(1, Math.abs(theirs[i]!));
    if (!(difference < 10 ** -digits)) throw new Error(`${expression} is ${theirs[i]} in R and ${ours} here.`);
  });
  expect(pairs.length).toBeGreaterThan(0);
}

withR(version === null ? 'skipped: no R' : `against R ${version}: distributions over a grid`, () => {
  it('beta, gamma, normal and Student’s, forwards and backwards', () => {
    const shapes = [0.5, 1, 2.3, 17, 300];
    const shares = [0.001, 0.025, 0.3, 0.5, 0.975];
    expectAlike(
      shapes.flatMap((a) =>
        shapes.flatMap((b) => [
          ...[0.01, 0.3, 0.9].map((x) => [`pbeta(${x}, ${a}, ${b})`, betaCdf(x, a, b)] as const),
          ...shares.map((p) => [`qbeta(${p}, ${a}, ${b})`, betaQuantile(p, a, b)] as const),
        ]),
      ),
      6,
    );
    expectAlike(
      shapes.flatMap((a) => [
        ...[0.5, 1, 2].map((x) => [`pgamma(${x * a}, ${a})`, gammaCdf(x * a, a, 1)] as const),
        ...shares.map((p) => [`qgamma(${p}, ${a})`, gammaQuantile(p, a, 1)] as const),
      ]),
      7,
    );
    expectAlike(
      shares.flatMap((p) => [
        [`qnorm(${p})`, normalQuantile(p)] as const,
        ...[1, 3, 30].map((df) => [`qt(${p}, ${df})`, studentQuantile(p, df)] as const),
      ]),
      6,
    );
  });

  it('binomial and Poisson', () => {
    expectAlike(
      [5, 20, 400].flatMap((n) =>
        [0.02, 0.1, 0.7].flatMap((p) =>
          [0, Math.floor(n * p), n - 1].map((k) => [`pbinom(${k}, ${n}, ${p})`, binomialCdf(k, n, p)] as const),
        ),
      ),
      7,
    );
    expectAlike(
      [0.5, 3, 40].flatMap((mean) => [0, 2, 45].map((k) => [`ppois(${k}, ${mean})`, poissonCdf(k, mean)] as const)),
      9,
    );
  });
});

withR(version === null ? 'skipped: no R' : `against R ${version}: tests and fits`, () => {
  it('binom.test’s limits are Clopper and Pearson’s, prop.test’s Wilson’s', () => {
    const cases = [
      [0, 8],
      [1, 8],
      [3, 24],
      [7, 50],
      [81, 263],
      [400, 400],
    ] as const;
    const limits = (hits: number, n: number, method: 'wilson' | 'clopper-pearson' | 'wilson-corrected') => {
      const found = rateEstimate(hits, n, method);
      if (found.kind !== 'estimate') throw new Error(found.reason);
      return [found.low, found.high] as const;
    };
    const ends = [0, 1] as const;
    expectAlike(
      cases.flatMap(([hits, n]) =>
        ends.flatMap((end) => [
          [`binom.test(${hits}, ${n})$conf.int[${end + 1}]`, limits(hits, n, 'clopper-pearson')[end]] as const,
          [`prop.test(${hits}, ${n}, correct = FALSE)$conf.int[${end + 1}]`, limits(hits, n, 'wilson')[end]] as const,
        ]),
      ),
      7,
    );
  });

  it('p.adjust and fisher.test', () => {
    const p = [0.2, 0.0003, 0.04, 0.011, 0.6, 0.011, 0.9, 0.0071];
    const methods = { BH: benjaminiHochberg, holm, hochberg };
    expectAlike(
      Object.entries(methods).flatMap(([name, adjust]) =>
        adjust(p).map((value, i) => [`p.adjust(c(${p}), "${name}")[${i + 1}]`, value] as const),
      ),
      12,
    );
    for (const table of [
      [3, 1, 1, 3],
      [7, 27, 1, 33],
      [0, 16, 15, 57],
      [40, 400, 12, 388],
    ] as const)
      expectAlike([[`fisher.test(matrix(c(${table}), 2, byrow = TRUE))$p.value`, fisherOf(table)]], 9);
  });

  it('glm on jars lost by strain and room, coefficients and standard errors', () => {
    const rows = [
      [0, 0, 4, 80],
      [0, 1, 9, 72],
      [1, 0, 12, 90],
      [1, 1, 21, 64],
      [0, 0, 5, 96],
      [1, 1, 17, 70],
    ] as const;
    const fit = logisticRegression(rows.map(([strain, room, hits, n]) => ({ x: [1, strain, room], hits, n })));
    if (fit.kind !== 'fitted') throw new Error(fit.reason);
    const column = (i: number) => `c(${rows.map((row) => row[i])})`;
    const glm = `glm(cbind(${column(2)}, ${column(3)} - ${column(2)}) ~ ${column(0)} + ${column(1)}, family = binomial, control = list(epsilon = 1e-12))`;
    const [theirs, errors] = r([`coef(${glm})`, `sqrt(diag(vcov(${glm})))`]);
    fit.coefficients.forEach((value, i) => {
      expect(value).toBeCloseTo(theirs![i]!, 6);
      expect(fit.standardErrors[i]).toBeCloseTo(errors![i]!, 5);
    });
  });

  it('HoltWinters without trend and season is simple smoothing from the first value', () => {
    const values = [5000, 5200, 4800, 5100, 3900, 5300, 4900, 5000, 5100, 4700];
    const { level } = simpleSmoothing(values.slice(1), 0.3, values[0]!);
    expectAlike([[`HoltWinters(c(${values}), alpha = 0.3, beta = FALSE, gamma = FALSE)$coefficients[1]`, level]], 10);
  });
});

const fisherOf = ([a, b, c, d]: readonly [number, number, number, number]) =>
  fisherExact({ hitsA: a, missesA: b, hitsB: c, missesB: d }).twoSided;

withSurvival(survival ? 'against R’s survival package' : 'skipped: no survival package of R', () => {
  const days = [3, 5, 5, 8, 9, 12, 12, 12, 14, 18, 21, 21, 25, 30, 30];
  const ended = [1, 1, 0, 1, 0, 1, 1, 0, 1, 0, 1, 0, 1, 0, 0];
  const jars: Watched[] = days.map((each, i) => ({ days: each, ended: ended[i] === 1 }));

  it('survfit: survival, Greenwood’s error and log-log limits at every step; log-rank by survdiff', () => {
    const curve = kaplanMeier(jars);
    if (curve.kind !== 'curve') throw new Error(curve.reason);
    const fit = `summary(survfit(Surv(c(${days}), c(${ended})) ~ 1, conf.type = "log-log"))`;
    const [surv, error, lower, upper, rmst] = r(
      [
        `${fit}$surv`,
        `${fit}$std.err`,
        `${fit}$lower`,
        `${fit}$upper`,
        `summary(survfit(Surv(c(${days}), c(${ended})) ~ 1), rmean = 30)$table["rmean"]`,
      ],
      'library(survival)',
    );
    curve.steps.forEach((step, i) => {
      expect(step.survival).toBeCloseTo(surv![i]!, 9);
      expect(step.standardError).toBeCloseTo(error![i]!, 9);
      expect(step.low).toBeCloseTo(lower![i]!, 7);
      expect(step.high).toBeCloseTo(upper![i]!, 7);
    });
    expect(restrictedMean(curve, 30).days).toBeCloseTo(rmst![0]!, 7);
    const half = jars.map((_, i) => i % 2);
    const test = logRank(
      jars.filter((_, i) => half[i] === 0),
      jars.filter((_, i) => half[i] === 1),
    );
    if (test.kind !== 'compared') throw new Error(test.reason);
    const [chi] = r([`survdiff(Surv(c(${days}), c(${ended})) ~ c(${half}))$chisq`], 'library(survival)');
    expect(test.chiSquare).toBeCloseTo(chi![0]!, 7);
  });

  it('survreg: the Weibull of jars seen only between two looks', () => {
    const looks: readonly (readonly [number, number | null])[] = [
      [9, 12],
      [12, 14],
      [10, 13],
      [12, 12.5],
      [14, null],
      [8, 11],
      [11, 15],
      [13, 16],
      [9.5, 10.5],
      [15, null],
    ];
    const fit = weibullFit(looks.map(([afterDays, byDays]): Between => ({ afterDays, byDays })));
    if (fit.kind !== 'fitted') throw new Error(fit.reason);
    const [left, right] = [looks.map(([l]) => l), looks.map(([, u]) => u ?? 'NA')];
    const [scale, logScale, likelihood] = r(
      ['fit$scale', 'coef(fit)', 'fit$loglik[1]'],
      `library(survival); fit <- survreg(Surv(c(${left}), c(${right}), type = "interval2") ~ 1, dist = "weibull")`,
    );
    expect(fit.shape).toBeCloseTo(1 / scale![0]!, 2);
    expect(Math.log(fit.scaleDays)).toBeCloseTo(logScale![0]!, 4);
    expect(fit.logLikelihood).toBeCloseTo(likelihood![0]!, 5);
  });
});
