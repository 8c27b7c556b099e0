import { requireThat } from '../errors.js';
import type { Lineage } from './lineage.js';

/** What has been seen of a jar: `bad` (contaminated), `good` (ripe and clean, or checked clean long enough), or nothing yet. */
export type Seen = 'bad' | 'good';

export interface SuspicionSettings {
  /** Chance that a jar goes bad on its own: grain, steriliser, hands. */
  readonly ownRisk: number;
  /** Chance that a bad mother makes a child bad. */
  readonly passesOn: number;
  /** Chance that a jar that looks good carries something all the same. */
  readonly hiddenRisk: number;
}

export const usualSuspicion: SuspicionSettings = { ownRisk: 0.1, passesOn: 0.9, hiddenRisk: 0.02 };

export interface SuspectJar {
  readonly code: string;
  /** Chance that the jar carries contamination, given everything seen of its line. */
  readonly suspicion: number;
  /** Its chance had nothing been seen. */
  readonly usual: number;
  readonly childrenSeen: number;
  readonly childrenBad: number;
}

/**
 * Suspicion along lineage, both ways: bad children point back to their mother, a bad mother points to all her children.
 * Each jar carries contamination or not; a jar goes bad on its own or takes it from a bad mother. The chances given all
 * that was seen are computed by message passing (Pearl, 1988), exact for jars with one mother; jars from mixed mothers
 * take the worst of them. Linear in the jars.
 * @param seen of each jar, where something was seen
 * @returns jars with their chance, most suspect first
 * @throws DomainError `suspicion-out-of-range`
 */
export function suspicion(
  { mothersOf, childrenOf }: Lineage,
  seen: ReadonlyMap<string, Seen>,
  settings: SuspicionSettings = usualSuspicion,
): readonly SuspectJar[] {
  const { ownRisk, passesOn, hiddenRisk } = settings;
  for (const [name, value] of Object.entries(settings))
    requireThat(value > 0 && value < 1, 'suspicion-out-of-range', `${name} is a chance between 0 and 1, not ${value}.`);
  const order = fromRoots(mothersOf, childrenOf);
  // Chance of going bad given the mother's state: on its own, or also from her.
  const badGiven = (motherBad: boolean) => (motherBad ? 1 - (1 - ownRisk) * (1 - passesOn) : ownRisk);
  const sight = (code: string): readonly [good: number, bad: number] => {
    const looked = seen.get(code);
    if (looked === 'bad') return [hiddenRisk / 10, 1 - hiddenRisk];
    return looked === 'good' ? [1 - hiddenRisk / 10, hiddenRisk] : [1, 1];
  };
  const below = messagesUp(order, childrenOf, mothersOf, sight, badGiven);
  const usual = new Map<string, number>();
  const suspect = new Map<string, number>();
  for (const code of order) {
    const mothers = mothersOf.get(code)!;
    usual.set(code, mix(ownRisk, badGiven(true), Math.max(0, ...mothers.map((mother) => usual.get(mother)!))));
    const motherBad = Math.max(0, ...mothers.map((mother) => without(suspect.get(mother)!, below.message.get(code)!)));
    const prior = mix(ownRisk, badGiven(true), motherBad);
    const [good, bad] = below.evidence.get(code)!;
    suspect.set(code, (prior * bad) / (prior * bad + (1 - prior) * good));
  }
  return order
    .map((code) => {
      const children = (childrenOf.get(code) ?? []).filter((child) => seen.has(child));
      const childrenBad = children.filter((child) => seen.get(child) === 'bad').length;
      return {
        code,
        suspicion: suspect.get(code)!,
        usual: usual.get(code)!,
        childrenSeen: children.length,
        childrenBad,
      };
    })
    .sort((one, other) => other.suspicion - one.suspicion || (one.code < other.code ? -1 : 1));
}

const mix = (alone: number, fromBad: number, motherBad: number): number =>
  motherBad * fromBad + (1 - motherBad) * alone;

/** The mother's chance with one child's own message taken out again, so that no child accuses itself through her. */
function without(motherBad: number, [good, bad]: readonly [number, number]): number {
  const [b, g] = [motherBad / bad, (1 - motherBad) / good];
  return b / (b + g);
}

type Weights = readonly [good: number, bad: number];

/** From the last generation up: what each jar's own sight and its children say about it. */
function messagesUp(
  order: readonly string[],
  childrenOf: ReadonlyMap<string, readonly string[]>,
  mothersOf: ReadonlyMap<string, readonly string[]>,
  sight: (code: string) => Weights,
  badGiven: (motherBad: boolean) => number,
): { readonly evidence: ReadonlyMap<string, Weights>; readonly message: ReadonlyMap<string, Weights> } {
  const evidence = new Map<string, Weights>();
  const message = new Map<string, Weights>();
  for (let i = order.length - 1; i >= 0; i--) {
    const code = order[i]!;
    let [good, bad] = sight(code);
    for (const child of childrenOf.get(code) ?? []) {
      // A child of several mothers accuses each of them less: its message is shared out.
      const share = 1 / mothersOf.get(child)!.length;
      const [childGood, childBad] = message.get(child)!;
      good *= childGood ** share;
      bad *= childBad ** share;
      const scale = Math.max(good, bad);
      good = Math.max(good / scale, 1e-300);
      bad = Math.max(bad / scale, 1e-300);
    }
    evidence.set(code, [good, bad]);
    const say = (motherBad: boolean) => badGiven(motherBad) * bad + (1 - badGiven(motherBad)) * good;
    message.set(code, [say(false), say(true)]);
  }
  return { evidence, message };
}

function fromRoots(
  mothersOf: ReadonlyMap<string, readonly string[]>,
  childrenOf: ReadonlyMap<string, readonly string[]>,
): readonly string[] {
  const waiting = new Map([...mothersOf].map(([code, mothers]) => [code, mothers.length]));
  const order = [...waiting].filter(([, count]) => count === 0).map(([code]) => code);
  for (let i = 0; i < order.length; i++)
    for (const child of childrenOf.get(order[i]!) ?? []) {
      const left = waiting.get(child)! - 1;
      waiting.set(child, left);
      if (left === 0) order.push(child);
    }
  return order;
}
