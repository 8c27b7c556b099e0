import { connectOrExplain } from './connection-trouble.js';
import { StartUpError } from './start-up-error.js';

interface Powers {
  readonly name: string;
  readonly superuser: boolean;
  readonly bypass: boolean;
  readonly owns: boolean;
}

const POWERS = `
  SELECT current_user AS name, rolsuper AS superuser, rolbypassrls AS bypass,
         EXISTS (SELECT FROM pg_class c JOIN pg_namespace n ON n.oid = c.relnamespace
                 WHERE n.nspname = 'public' AND c.relkind IN ('r', 'p') AND pg_has_role(current_user, c.relowner, 'MEMBER')) AS owns
  FROM pg_roles WHERE rolname = current_user`;

/**
 * Refuses to serve with a role that row security does not bind: one mistake in a connection string would otherwise show
 * every farm to everyone, without any error.
 * @throws StartUpError `role-too-powerful`, or why the database cannot be reached.
 */
export async function requireNarrowRole(connectionString: string, setting: string): Promise<void> {
  const client = await connectOrExplain(connectionString, setting);
  try {
    const { rows } = await client.query<Powers>(POWERS);
    const { name, superuser, bypass, owns } = rows[0]!;
    const power = superuser ? 'is a superuser' : bypass ? 'has BYPASSRLS' : owns ? 'owns the tables' : null;
    if (power === null) return;
    throw new StartUpError(
      'role-too-powerful',
      `The user "${name}" of ${setting} ${power}, so the farms would not be kept apart: use the role Jarfold makes for this, or one like it.`,
    );
  } finally {
    await client.end();
  }
}
