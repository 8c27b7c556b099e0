/**
 * Compares schemas with Prisma's schema engine as WebAssembly, so no binary is fetched. Tool code only; it never applies
 * a migration, because its driver splits scripts at every semicolon, which breaks function bodies.
 */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { PrismaPg } from '@prisma/adapter-pg';
import { bindMigrationAwareSqlAdapterFactory } from '@prisma/driver-adapter-utils';

/** PostgreSQL's one-byte "char" type: the catalog is full of it, and Prisma's pg driver has no case for it. */
const ONE_BYTE_CHAR_OID = 18;
/** What the driver is told instead, so that it does not refuse the column. */
const TEXT_OID = 25;
/** What the engine expects such a column to be called: Prisma's own number for a character column. */
const CHARACTER_COLUMN = 6;

/** One engine per process: the module keeps its state in globals. */
async function loadBindings() {
  const bindings = await import('@prisma/schema-engine-wasm/schema_engine_bg');
  const entry = createRequire(import.meta.url).resolve('@prisma/schema-engine-wasm');
  const module = new WebAssembly.Module(readFileSync(entry.replace(/schema_engine\.js$/, 'schema_engine_bg.wasm')));
  const instance = new WebAssembly.Instance(module, { './schema_engine_bg.js': bindings });
  bindings.__wbg_set_wasm(instance.exports);
  instance.exports.__wbindgen_start();
  // Without it a panic of the engine surfaces as a TypeError about this very object.
  globalThis.PRISMA_WASM_PANIC_REGISTRY = { set_message: (message) => console.error(message) };
  return bindings;
}

function readingOneByteChars(factory) {
  const connect = factory.connect.bind(factory);
  factory.connect = async () => describeOneByteChars(await connect());
  return factory;
}

function describeOneByteChars(connection) {
  const performIO = connection.performIO.bind(connection);
  const queryRaw = connection.queryRaw.bind(connection);
  const oneByteColumns = new WeakMap();
  connection.performIO = async (query) => {
    const result = await performIO(query);
    oneByteColumns.set(
      query,
      result.fields.map((field) => field.dataTypeID === ONE_BYTE_CHAR_OID),
    );
    for (const field of result.fields) if (field.dataTypeID === ONE_BYTE_CHAR_OID) field.dataTypeID = TEXT_OID;
    return result;
  };
  connection.queryRaw = async (query) => {
    const result = await queryRaw(query);
    const isOneByte = oneByteColumns.get(query) ?? [];
    return { ...result, columnTypes: result.columnTypes.map((type, at) => (isOneByte[at] ? CHARACTER_COLUMN : type)) };
  };
  return connection;
}

/**
 * SQL that a migrated database still lacks to be what the schema says, or '' when they agree. Policies, grants, checks,
 * partial indexes and functions are outside Prisma's schema language and so are not compared.
 */
export async function sqlMissing(connectionString, schema) {
  const { SchemaEngine } = await loadBindings();
  const adapter = bindMigrationAwareSqlAdapterFactory(readingOneByteChars(new PrismaPg({ connectionString })));
  const engine = await SchemaEngine.new({ datamodels: [['schema.prisma', schema]] }, () => undefined, adapter);
  const files = [{ path: 'schema.prisma', content: schema }];
  const result = await engine.diff({
    from: { tag: 'schemaDatasource', files, configDir: '.' },
    to: { tag: 'schemaDatamodel', files },
    script: true,
    exitCode: true,
    filters: { externalTables: [], externalEnums: [] },
    shadowDatabaseUrl: null,
  });
  return result.exitCode === 0 ? '' : result.stdout;
}
