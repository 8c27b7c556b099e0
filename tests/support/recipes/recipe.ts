import type { World } from '../api-app.js';

/** A request that succeeds for the farm it was built for. Ids anywhere in it are what gets swapped for a stranger's. */
export interface BuiltRequest {
  readonly params?: Readonly<Record<string, string>>;
  readonly query?: Readonly<Record<string, string>>;
  readonly body?: unknown;
  readonly headers?: Readonly<Record<string, string>>;
  /** Pointers of ids the caller makes up itself, such as `/body/id`: a stranger's value there is no reference. */
  readonly ownIds?: readonly string[];
  /** Members of the answer that differ from call to call, such as a position in the log. */
  readonly volatile?: readonly string[];
  /** The person to send it as, when it is not the owner the world belongs to. */
  readonly as?: World;
}

/** Builds a fresh request each time it is called: a change can only be made once. */
export type Recipe = (world: World) => Promise<BuiltRequest> | BuiltRequest;

/** By method and path as the OpenAPI document has them. */
export type Recipes = Readonly<Record<`${'GET' | 'POST' | 'PUT' | 'PATCH' | 'DELETE'} /${string}`, Recipe>>;
