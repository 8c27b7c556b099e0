/** What the boxes of a run's and an order's form have in common on the way to a body. */

export function withoutEmpty(fields: Readonly<Record<string, unknown>>): Record<string, unknown> {
  return Object.fromEntries(Object.entries(fields).filter(([, value]) => value !== undefined));
}

/** The fields whose boxes were changed. */
export function changedOnly<Values extends object>(
  before: Values,
  after: Values,
  fields: Readonly<Record<keyof Values & string, unknown>>,
): Record<string, unknown> {
  const box = (values: Values, name: string) => JSON.stringify(values[name as keyof Values]);
  return Object.fromEntries(Object.entries(fields).filter(([name]) => box(before, name) !== box(after, name)));
}
