import type { ActionEntry, Draw, SettlementWay } from './entry.js';
import type { RefusalCode } from './outcome.js';
import type { Jar } from './thing.js';

/** Kinds that take grams out of jars. */
export type DrawingKind = 'drawn_for_run' | 'drawn_for_jars' | 'inoculated';
type DrawingEntry = Extract<ActionEntry, { kind: DrawingKind }>;

/** What one tap can do about a refused draw, given the jars as they stand now. */
export interface JarInTheWay {
  readonly jarId: string;
  /** Grams it holds now; null when it is not known on the farm. */
  readonly leftG: number | null;
  /** Grams the entry wanted; null when it said "half" or "all". */
  readonly askedG: number | null;
}

/** Reasons that pass by themselves once what was missing is there. */
const MAY_PASS: ReadonlySet<string> = new Set<RefusalCode>([
  'unknown-jar',
  'unknown-lot',
  'unknown-grain-batch',
  'unknown-cycle',
  'unknown-strain',
  'unknown-size',
  'unknown-shelf',
  'unknown-run',
  'unknown-staff',
  'code-already-used',
]);
const ABOUT_GRAMS: ReadonlySet<string> = new Set<RefusalCode>(['draw-below-zero', 'nothing-left-to-draw', 'jar-gone']);

/** The draws of an entry, wherever its kind keeps them; empty for kinds that draw nothing. */
export function drawsOf({ kind, payload }: Pick<ActionEntry, 'kind' | 'payload'>): readonly Draw[] {
  if (kind === 'inoculated') return (payload as DrawingEntry['payload'] & { mothers: readonly Draw[] }).mothers;
  if (kind === 'drawn_for_run' || kind === 'drawn_for_jars') return (payload as { draws: readonly Draw[] }).draws;
  return [];
}

/** Which draws cannot be as they were logged, with what the jars hold now. */
export function jarsInTheWay(draws: readonly Draw[], jar: (id: string) => Jar | undefined): readonly JarInTheWay[] {
  return draws.flatMap(({ jarId, amount }) => {
    const state = jar(jarId);
    const leftG = state ? (state.goneAs === null ? state.leftG : 0) : null;
    const askedG = amount.by === 'grams' ? amount.massG : null;
    const short = leftG === null || leftG <= 0 || (askedG !== null && askedG > leftG);
    return short ? [{ jarId, leftG, askedG }] : [];
  });
}

/**
 * What a lead can do with one tap about a refused entry. Dropping it is always possible: it then stays in the log as
 * refused, and nobody is asked about it again.
 */
export function settlementWays(
  refused: Pick<ActionEntry, 'kind' | 'payload'>,
  reason: string,
  jar: (id: string) => Jar | undefined,
): readonly SettlementWay[] {
  const draws = drawsOf(refused);
  const aboutGrams = ABOUT_GRAMS.has(reason) && draws.length > 0;
  const short = jarsInTheWay(draws, jar);
  const leaves = draws.some(({ jarId }) => !short.some((one) => one.jarId === jarId && (one.leftG ?? 0) <= 0));
  return [
    ...(aboutGrams && short.length > 0 && leaves ? (['take_what_is_left'] as const) : []),
    ...(aboutGrams && short.length === 1 ? (['take_another_jar'] as const) : []),
    ...(MAY_PASS.has(reason) || (aboutGrams && short.length === 0) ? (['try_again'] as const) : []),
    'drop',
  ];
}

/**
 * The payload of the entry that is recorded in place of a refused one. Null: that way leads to no entry, because
 * nothing would be drawn.
 * @param otherJarId for `take_another_jar`: the jar it really was
 */
export function settledPayload(
  refused: Pick<ActionEntry, 'kind' | 'payload'>,
  way: SettlementWay,
  jar: (id: string) => Jar | undefined,
  otherJarId: string | null = null,
): ActionEntry['payload'] | null {
  if (way === 'drop') return null;
  if (way === 'try_again') return refused.payload;
  const draws = drawsOf(refused);
  const short = new Map(jarsInTheWay(draws, jar).map((one) => [one.jarId, one]));
  const settled = draws.flatMap((draw) => {
    const found = short.get(draw.jarId);
    if (!found) return [draw];
    if (way === 'take_another_jar') return otherJarId === null ? [] : [{ ...draw, jarId: otherJarId }];
    return (found.leftG ?? 0) > 0 ? [{ jarId: draw.jarId, amount: { by: 'all' } as const }] : [];
  });
  return settled.length === 0 ? null : withDraws(refused, settled, otherJarId);
}

/** A jar of the new lot that named a mother which gave nothing after all names the one that did. */
function withDraws(
  { kind, payload }: Pick<ActionEntry, 'kind' | 'payload'>,
  draws: readonly Draw[],
  otherJarId: string | null,
): ActionEntry['payload'] {
  if (kind !== 'inoculated') return { ...payload, draws } as ActionEntry['payload'];
  const giving = new Set(draws.map(({ jarId }) => jarId));
  const { jars, ...rest } = payload as Extract<ActionEntry, { kind: 'inoculated' }>['payload'];
  const mended = jars.map(({ motherJarId, ...jar }) => {
    const mother = motherJarId === undefined || giving.has(motherJarId) ? motherJarId : (otherJarId ?? undefined);
    return mother === undefined ? jar : { ...jar, motherJarId: mother };
  });
  return { ...rest, mothers: draws, jars: mended } as ActionEntry['payload'];
}
