import { PROBLEMS, type ProblemCode, problemSchema } from '@jarfold/contracts';
import { Injectable } from '@nestjs/common';
import { ROUTE_ARGS_METADATA } from '@nestjs/common/constants.js';
import { z } from 'zod';
import { FILE_MEDIA_TYPE, fileFactory } from './file-body.js';
import { successStatus } from './operation.js';
import { Operations, type ServedOperation } from './operations.js';
import { revisionFactory } from './revision.js';
import { SessionCookie } from './session-cookie.js';

type Json = Record<string, unknown>;

/** The framework's numbers for what a handler's parameter is taken from. */
const ARGUMENT_PLACES: Readonly<Record<string, 'body' | 'query' | 'path' | 'header'>> = {
  3: 'body',
  4: 'query',
  5: 'path',
  6: 'header',
};

interface HandlerArgument {
  readonly place: 'body' | 'query' | 'path' | 'header';
  readonly name: string | undefined;
  readonly schema: z.ZodType | undefined;
}

/**
 * The OpenAPI 3.1 document, written from the very schemas that validate and strip. In 3.1 a schema is JSON Schema
 * 2020-12, which zod writes by itself, so nothing is translated and nothing can drift.
 */
@Injectable()
export class OpenApiDocument {
  private known: Json | undefined;

  constructor(
    private readonly operations: Operations,
    private readonly cookie: SessionCookie,
  ) {}

  /**
   * Written when it is first asked for: few ever do, and writing it takes a good part of a process's start.
   * @throws Error when two different schemas carry one component name, or a schema cannot be written as JSON Schema.
   */
  get(): Json {
    this.known ??= this.build();
    return this.known;
  }

  private build(): Json {
    const components = new Components();
    const paths: Record<string, Json> = {};
    for (const operation of this.operations.all()) {
      paths[operation.path] ??= {};
      (paths[operation.path] as Json)[operation.method.toLowerCase()] = describeOperation(operation, components);
    }
    components.reference(problemSchema, 'output');
    return {
      openapi: '3.1.1',
      info: {
        title: 'Jarfold',
        version: '0.1.0',
        description:
          'Plans, prepares, logs and watches the grain spawn of small mushroom farms. Masses are grams and temperatures degrees Celsius unless a name says otherwise; days are calendar days (YYYY-MM-DD) of the farm.',
        license: { name: 'MIT', identifier: 'MIT' },
      },
      servers: [{ url: '/' }],
      paths,
      components: {
        schemas: components.schemas,
        securitySchemes: {
          session: { type: 'apiKey', in: 'cookie', name: this.cookie.name, description: 'Set by POST /api/session' },
        },
      },
    };
  }
}

function describeOperation(operation: ServedOperation, components: Components): Json {
  const { contract } = operation;
  const inputs = argumentsOf(operation);
  const body = inputs.find(({ place }) => place === 'body');
  const mediaType = body?.schema === fileContent ? FILE_MEDIA_TYPE : 'application/json';
  for (const schema of contract.alsoDescribes ?? []) components.reference(schema, 'input');
  const parameters = inputs.filter(({ place }) => place !== 'body').flatMap((input) => parametersOf(input, components));
  return {
    operationId: `${operation.controller.name.replace(/Controller$/, '')}_${operation.handlerName}`,
    tags: [tagOf(operation.path)],
    summary: contract.summary,
    ...(contract.description === undefined ? {} : { description: contract.description }),
    ...(contract.public
      ? { security: [] }
      : { security: [{ session: [] }], 'x-minimum-role': contract.minimumRole ?? 'hand' }),
    ...(parameters.length > 0 ? { parameters } : {}),
    ...(body?.schema
      ? {
          requestBody: {
            required: true,
            content: { [mediaType]: { schema: components.reference(body.schema, 'input') } },
          },
        }
      : {}),
    responses: { ...success(operation, components), ...problems(operation, inputs) },
  };
}

function tagOf(path: string): string {
  const [first, second] = path.split('/').slice(1);
  return (first === 'api' ? second : first) ?? 'service';
}

/** What the handler takes from where, with the schema its decorator carries. */
function argumentsOf({ controller, handlerName }: ServedOperation): HandlerArgument[] {
  const metadata = (Reflect.getMetadata(ROUTE_ARGS_METADATA, controller, handlerName) ?? {}) as Record<
    string,
    { data?: unknown; schema?: z.ZodType; factory?: unknown }
  >;
  return Object.entries(metadata).flatMap(([key, { data, schema, factory }]) => {
    if (factory === revisionFactory) return [{ place: 'header' as const, name: 'If-Match', schema: revisionTag }];
    if (factory === fileFactory) return [{ place: 'body' as const, name: undefined, schema: fileContent }];
    const place = ARGUMENT_PLACES[key.split(':')[0] ?? ''];
    return place === undefined ? [] : [{ place, name: typeof data === 'string' ? data : undefined, schema }];
  });
}

const revisionTag = z.string().meta({ description: 'The revision the change was decided on', examples: ['"3"'] });

/** A file as it is: JSON Schema has no type for bytes (OpenAPI 3.1.1, 4.8.14.4.2). */
const fileContent = z.unknown().meta({ description: 'The bytes of a file' });

/** A named argument is one parameter; an unnamed one is an object schema whose members are parameters. */
function parametersOf(input: HandlerArgument, components: Components): Json[] {
  const { place, name, schema } = input;
  if (name !== undefined) {
    const shape = schema ? components.reference(schema, 'input') : { type: 'string' };
    return [
      {
        name,
        in: place,
        required: place !== 'query' || !(schema?.safeParse(undefined).success ?? true),
        schema: shape,
      },
    ];
  }
  if (!schema) throw new Error(`A ${place} argument without a schema: give its decorator one.`);
  const object = components.inline(schema, 'input') as { properties?: Record<string, Json>; required?: string[] };
  return Object.entries(object.properties ?? {}).map(([key, shape]) => ({
    name: key,
    in: place,
    required: place === 'path' || (object.required ?? []).includes(key),
    schema: shape,
  }));
}

function success({ contract }: ServedOperation, components: Components): Json {
  const status = String(successStatus(contract));
  if (contract.response === null && contract.mediaType !== undefined) {
    const content = { [contract.mediaType]: { schema: { description: 'A file' } } };
    return { [status]: { description: contract.summary, content } };
  }
  if (contract.response === null) return { [status]: { description: 'Done; no body' } };
  const schema = components.reference(contract.response, 'output');
  return {
    [status]: { description: contract.summary, content: { [contract.mediaType ?? 'application/json']: { schema } } },
  };
}

/** The problems of an operation by status: its own, and those that come with taking input and with needing a sign-in. */
function problems(operation: ServedOperation, inputs: readonly HandlerArgument[]): Json {
  const byStatus = new Map<number, ProblemCode[]>();
  for (const code of problemCodesOf(operation, inputs)) {
    const { status } = PROBLEMS[code];
    byStatus.set(status, [...(byStatus.get(status) ?? []), code]);
  }
  const entries = [...byStatus].sort(([a], [b]) => a - b);
  return Object.fromEntries(
    entries.map(([status, codes]) => [
      String(status),
      {
        description: codes.map((code) => `${code}: ${PROBLEMS[code].title}`).join('. '),
        content: { 'application/problem+json': { schema: { $ref: '#/components/schemas/Problem' } } },
        'x-problem-codes': codes,
      },
    ]),
  );
}

function problemCodesOf(
  { contract, method, path }: ServedOperation,
  inputs: readonly HandlerArgument[],
): Set<ProblemCode> {
  const codes = new Set<ProblemCode>([
    'malformed-address',
    'malformed-request',
    'too-many-requests',
    'internal',
    'unavailable',
  ]);
  const add = (...more: readonly ProblemCode[]) => {
    for (const code of more) codes.add(code);
  };
  if (inputs.some(({ place, schema }) => schema && place !== 'header')) add('invalid-input');
  if (inputs.some(({ place }) => place === 'body')) add('malformed-json', 'too-large', 'unsupported-media-type');
  if (inputs.some(({ place, name }) => place === 'header' && name === 'If-Match'))
    add('revision-required', 'revision-stale');
  if (path.includes('{')) add('not-found', 'address-too-long');
  if (!contract.public) add('sign-in-required');
  if (!contract.public && (contract.minimumRole ?? 'hand') !== 'hand') add('role-too-low');
  if (method !== 'GET' && method !== 'HEAD') add('cross-origin');
  add(...(contract.problems ?? []));
  return codes;
}

/** Collects named schemas, and insists that one name means one shape. */
class Components {
  readonly schemas: Record<string, Json> = {};

  /** A reference when the schema is named, else the schema itself; named parts become components either way. */
  reference(schema: z.ZodType, io: 'input' | 'output'): Json {
    const { $schema, $defs, ...shape } = z.toJSONSchema(schema, { io, target: 'draft-2020-12' }) as Json;
    for (const [name, definition] of Object.entries(($defs ?? {}) as Record<string, Json>)) {
      this.define(name, rewritten(definition) as Json);
    }
    return rewritten(shape) as Json;
  }

  /** The schema itself, also when it is named. */
  inline(schema: z.ZodType, io: 'input' | 'output'): Json {
    const shape = this.reference(schema, io);
    const name = typeof shape.$ref === 'string' ? shape.$ref.split('/').at(-1) : undefined;
    return name === undefined ? shape : (this.schemas[name] ?? shape);
  }

  private define(name: string, shape: Json): void {
    const before = this.schemas[name];
    if (before !== undefined && JSON.stringify(before) !== JSON.stringify(shape)) {
      throw new Error(`The schema name ${name} stands for two shapes (input and output differ?): name them apart.`);
    }
    this.schemas[name] = shape;
  }
}

/** References move from a schema's own $defs to the document's components. */
function rewritten(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(rewritten);
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(
    Object.entries(value).map(([key, member]) => [
      key,
      key === '$ref' && typeof member === 'string'
        ? member.replace('#/$defs/', '#/components/schemas/')
        : rewritten(member),
    ]),
  );
}
