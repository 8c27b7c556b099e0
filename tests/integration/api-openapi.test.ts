import { PROBLEMS, type ProblemCode } from '@jarfold/contracts';
import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { Validator } from '@seriousme/openapi-schema-validator';
import { startApi, type TestApi } from '../support/api-app.js';

interface Operation {
  readonly operationId: string;
  readonly summary: string;
  readonly security?: readonly object[];
  readonly parameters?: readonly { readonly name: string; readonly in: string; readonly schema: object }[];
  readonly requestBody?: { readonly content: Record<string, { readonly schema: Schema }> };
  readonly responses: Record<
    string,
    { readonly content?: Record<string, unknown>; readonly 'x-problem-codes'?: ProblemCode[] }
  >;
}
interface Schema {
  readonly $ref?: string;
  readonly type?: string;
  readonly additionalProperties?: unknown;
  readonly anyOf?: Schema[];
  readonly oneOf?: Schema[];
}
interface Document {
  readonly openapi: string;
  readonly paths: Record<string, Record<string, Operation>>;
  readonly components: { readonly schemas: Record<string, Schema> };
}

let api: TestApi;
let document: Document;
let operations: readonly { readonly method: string; readonly path: string; readonly operation: Operation }[];
beforeAll(async () => {
  api = await startApi();
  document = (await api.send({ method: 'GET', url: '/api/openapi.json' })).body;
  operations = Object.entries(document.paths).flatMap(([path, methods]) =>
    Object.entries(methods).map(([method, operation]) => ({ method: method.toUpperCase(), path, operation })),
  );
});
afterAll(() => api.close());

const resolved = (schema: Schema): Schema =>
  schema.$ref === undefined ? schema : (document.components.schemas[schema.$ref.split('/').at(-1) ?? ''] ?? {});

describe('the OpenAPI document', () => {
  it('is valid OpenAPI 3.1 by the OpenAPI Initiative’s own schema', async () => {
    expect(document.openapi).toMatch(/^3\.1\./);
    const result = await new Validator().validate(structuredClone(document) as unknown as Record<string, unknown>);
    expect(result.errors).toBeUndefined();
    expect(result.valid).toBe(true);
  });

  it('refers to nothing that is not in it', () => {
    const names = [...JSON.stringify(document).matchAll(/"#\/components\/schemas\/(\w+)"/g)].map(
      (match) => match[1] ?? '',
    );
    expect(names.length).toBeGreaterThan(5);
    expect(names.filter((name) => !(name in document.components.schemas))).toEqual([]);
  });

  it('holds the routes the router has, and no others', () => {
    // HEAD comes with every GET; /* is the web app's page.
    const served = api.routes.filter(({ method, path }) => method !== 'HEAD' && method !== 'OPTIONS' && path !== '/*');
    const line = ({ method, path }: { method: string; path: string }) => `${method} ${path}`;
    expect(operations.map(line).sort()).toEqual(served.map(line).sort());
  });

  it('gives every operation an id of its own, a summary and a schema for what it answers', () => {
    const ids = operations.map(({ operation }) => operation.operationId);
    expect(new Set(ids).size).toBe(ids.length);
    const wanting = operations.filter(({ operation }) => {
      const success = Object.entries(operation.responses).filter(([status]) => status.startsWith('2'));
      const described = success.every(
        ([status, { content }]) => status === '204' || Object.values(content ?? {}).length > 0,
      );
      return success.length !== 1 || !described || operation.summary === '';
    });
    expect(wanting.map(({ method, path }) => `${method} ${path}`)).toEqual([]);
  });

  it('documents the problems of every operation as application/problem+json, each under its own status', () => {
    for (const { method, path, operation } of operations) {
      const codes = Object.entries(operation.responses).flatMap(([status, response]) =>
        (response['x-problem-codes'] ?? []).map((code) => [Number(status), code] as const),
      );
      expect(codes.every(([status, code]) => PROBLEMS[code].status === status)).toBe(true);
      const named = codes.map(([, code]) => code);
      const expected: ProblemCode[] = ['too-many-requests', 'internal', 'unavailable'];
      if (operation.security?.length) expected.push('sign-in-required');
      if (operation.requestBody)
        expected.push('malformed-json', 'invalid-input', 'too-large', 'unsupported-media-type');
      if (path.includes('{')) expected.push('not-found');
      if (method !== 'GET') expected.push('cross-origin');
      expect(named).toEqual(expect.arrayContaining(expected));
      const failures = Object.entries(operation.responses).filter(([status]) => status >= '4');
      expect(failures.every(([, { content }]) => Object.keys(content ?? {})[0] === 'application/problem+json')).toBe(
        true,
      );
    }
  });

  it('describes bodies that refuse unknown fields, and answers that are objects', () => {
    const strict = (schema: Schema): boolean => {
      const real = resolved(schema);
      const variants = real.anyOf ?? real.oneOf;
      return variants ? variants.every(strict) : real.type === 'object' && real.additionalProperties === false;
    };
    const loose = operations.filter(({ operation }) => {
      const schema = operation.requestBody?.content['application/json']?.schema;
      return schema !== undefined && !strict(schema);
    });
    expect(loose.map(({ method, path }) => `${method} ${path}`)).toEqual([]);
    // A bare list would be checked item by item against the list's own schema (see docs/api.md).
    const lists = operations.filter(({ operation }) => {
      const success = Object.entries(operation.responses).find(([status]) => status.startsWith('2'));
      const schema = (success?.[1].content?.['application/json'] as { schema?: Schema } | undefined)?.schema;
      return schema !== undefined && resolved(schema).type === 'array';
    });
    expect(lists.map(({ path }) => path)).toEqual([]);
  });

  it('needs a sign-in everywhere but where that was decided', () => {
    const open = operations.filter(({ operation }) => operation.security?.length === 0);
    expect(open.map(({ method, path }) => `${method} ${path}`).sort()).toEqual([
      'GET /api/calendar/{growerId}/{secret}',
      'GET /api/device',
      'GET /api/openapi.json',
      'GET /api/set-up',
      'GET /api/trust',
      'GET /healthz',
      'GET /problems',
      'GET /problems/{code}',
      'GET /readyz',
      'POST /api/device',
      'POST /api/device/session',
      'POST /api/growers',
      'POST /api/session',
      'POST /api/set-up',
    ]);
  });
});

describe('every operation', () => {
  it('turns away whoever is not signed in, before it looks at the input', async () => {
    for (const { method, path, operation } of operations) {
      if (!operation.security?.length) continue;
      const url = path.replaceAll(/\{\w+\}/g, 'anything');
      const answer = await api.send({ method, url, ...(method === 'GET' ? {} : { body: {} }) });
      expect([method, path, answer.body?.code]).toEqual([method, path, 'sign-in-required']);
    }
  });

  it('turns away a role below the one it documents', async () => {
    const owner = await api.farm();
    const people = { hand: await owner.colleague('hand'), lead: await owner.colleague('lead') };
    for (const { method, path, operation } of operations) {
      const minimum = (operation as { 'x-minimum-role'?: string })['x-minimum-role'];
      const below = minimum === 'owner' ? [people.hand, people.lead] : minimum === 'lead' ? [people.hand] : [];
      for (const person of below) {
        const answer = await person.call(
          method,
          path.replaceAll(/\{\w+\}/g, owner.growerId),
          method === 'GET' ? undefined : {},
        );
        expect([method, path, answer.body?.code]).toEqual([method, path, 'role-too-low']);
      }
    }
  });

  it('carries the security headers, also when it fails', async () => {
    for (const { method, path } of operations) {
      const answer = await api.send({
        method,
        url: path.replaceAll(/\{\w+\}/g, 'anything'),
        ...(method === 'GET' ? {} : { body: {} }),
      });
      const policy = String(answer.headers['content-security-policy']);
      expect(policy).toContain("default-src 'self'");
      expect(policy).toContain("object-src 'none'");
      expect(policy).toContain("base-uri 'none'");
      expect(policy).toContain("frame-ancestors 'none'");
      expect(policy).not.toMatch(/unsafe|\*/);
      expect(answer.headers['x-content-type-options']).toBe('nosniff');
      expect(answer.headers['cache-control']).toBe('no-store');
      expect(answer.headers['x-correlation-id']).toMatch(/^[0-9a-f-]{36}$/);
      expect(answer.headers['strict-transport-security']).toBeUndefined();
      expect(answer.headers['x-powered-by']).toBeUndefined();
    }
  });

  it('answers 405 to every method it does not declare', async () => {
    const farm = await api.farm();
    for (const path of Object.keys(document.paths)) {
      // A fixed path may also be read as another one with a parameter, such as /devices/enrolments.
      const templates = Object.keys(document.paths).filter((other) => isReadAs(path, other));
      const declared = new Set(
        templates.flatMap((other) => Object.keys(document.paths[other] ?? {}).map((method) => method.toUpperCase())),
      );
      for (const method of ['POST', 'PUT', 'PATCH', 'DELETE'].filter((one) => !declared.has(one))) {
        const answer = await farm.call(method, path.replaceAll(/\{\w+\}/g, farm.growerId), {});
        expect([method, path, answer.status]).toEqual([method, path, 405]);
        expect(answer.headers.allow).toBeDefined();
      }
    }
  });
});

function isReadAs(path: string, template: string): boolean {
  const [given, wanted] = [path.split('/'), template.split('/')];
  return given.length === wanted.length && wanted.every((part, at) => part === given[at] || part.startsWith('{'));
}
