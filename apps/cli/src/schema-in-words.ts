interface JsonSchema {
  readonly type?: string | readonly string[];
  readonly const?: unknown;
  readonly enum?: readonly unknown[];
  readonly anyOf?: readonly JsonSchema[];
  readonly oneOf?: readonly JsonSchema[];
  readonly items?: JsonSchema;
  readonly properties?: Readonly<Record<string, JsonSchema>>;
  readonly additionalProperties?: JsonSchema | boolean;
  readonly required?: readonly string[];
  readonly default?: unknown;
}

/** A JSON Schema on one line, for people: `{ hits: integer, n: integer, level?: number = 0.95 }`. */
export function schemaInWords(schema: unknown): string {
  return words(schema as JsonSchema);
}

function words(schema: JsonSchema): string {
  if (schema.const !== undefined) return JSON.stringify(schema.const);
  if (schema.enum) return schema.enum.map((value) => JSON.stringify(value)).join(' | ');
  const choices = schema.anyOf ?? schema.oneOf;
  if (choices) return choices.map(words).join(' | ');
  if (schema.type === 'array') return `[${words(schema.items ?? {})}, …]`;
  if (schema.type === 'object') return objectInWords(schema);
  return typeof schema.type === 'string' ? schema.type : (schema.type?.join(' | ') ?? 'anything');
}

function objectInWords({ properties, additionalProperties, required = [] }: JsonSchema): string {
  if (!properties)
    return `{ name: ${typeof additionalProperties === 'object' ? words(additionalProperties) : 'anything'}, … }`;
  const kind = properties.kind?.const;
  if (kind === 'estimate' || kind === 'not enough data') return kind;
  const parts = Object.entries(properties).map(([name, schema]) => {
    const optional = required.includes(name) ? '' : '?';
    const usual = schema.default === undefined ? '' : ` = ${JSON.stringify(schema.default)}`;
    return `${name}${optional}: ${words(schema)}${usual}`;
  });
  return `{ ${parts.join(', ')} }`;
}
