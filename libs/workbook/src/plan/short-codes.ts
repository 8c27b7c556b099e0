/** A container and what it gives. */
export interface Given {
  readonly code: string;
  readonly amount: string;
}

/**
 * Lists containers in few words: those of one lot that give the same share one amount, as in
 * `BL-26W45-1/01, /02, /03: 560 g each`.
 */
export function listed(given: readonly Given[]): string {
  const groups = new Map<string, string[]>();
  for (const { code, amount } of given) {
    const key = `${lotOf(code)} ${amount}`;
    groups.set(key, [...(groups.get(key) ?? []), code]);
  }
  const amounts = new Map(given.map(({ code, amount }) => [code, amount]));
  return [...groups.values()]
    .map((codes) => {
      const [first = '', ...rest] = codes;
      const amount = amounts.get(first) ?? '';
      const names = [first, ...rest.map((code) => code.slice(lotOf(code).length))].join(', ');
      return amount === '' ? names : `${names} (${amount}${rest.length > 0 ? ' each' : ''})`;
    })
    .join('; ');
}

/** The part of a jar's code that all jars of its lot share; the whole code where it has no such form. */
function lotOf(code: string): string {
  const slash = code.lastIndexOf('/');
  return slash > 0 ? code.slice(0, slash) : code;
}
