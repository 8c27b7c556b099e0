import type { ProblemCode, Role } from '@jarfold/contracts';
import { applyDecorators, HttpCode, SerializeOptions, SetMetadata } from '@nestjs/common';
import type { z } from 'zod';

const OPERATION = Symbol('jarfold:operation');

/** What a route promises: the one description that sets its status, its response schema, who may call it, and its documentation. */
export interface OperationContract<Response extends z.ZodType | null = z.ZodType | null> {
  /** One line, as in a table of contents. */
  readonly summary: string;
  readonly description?: string;
  /** The schema the answer is stripped to; null for an answer without a body. It must describe an object. */
  readonly response: Response;
  /** Status of success: 200, or 204 without a body, unless said otherwise. */
  readonly status?: number;
  /** The least role that may call; `hand`, so anyone of the farm, unless said otherwise. */
  readonly minimumRole?: Role;
  /** True when no sign-in is needed. */
  readonly public?: boolean;
  /** True when somebody signed in by PIN on an enrolled tablet may call it although it changes something. */
  readonly bench?: boolean;
  /**
   * `required`: only an enrolled tablet may call, shown by its own cookie; with `public`, whoever holds it.
   * `noted`: the tablet is looked up when there is one.
   */
  readonly device?: 'required' | 'noted';
  /** The problems peculiar to this route; those every route can answer with are added by the document. */
  readonly problems?: readonly ProblemCode[];
  /** Named schemas that the body holds in a form the document cannot show, such as a payload chosen by a kind. */
  readonly alsoDescribes?: readonly z.ZodType[];
  /** Media type of success, when it is not application/json. */
  readonly mediaType?: string;
}

type Handler<Response> = Response extends z.ZodType
  ? (...args: never[]) => z.input<Response> | Promise<z.input<Response>>
  : ((...args: never[]) => void) | ((...args: never[]) => Promise<void>);

/**
 * Declares a route's contract; every route needs one, and a route without one keeps the service from starting. The
 * handler's return type is checked against the response schema when compiling, and its value when running.
 *
 * @example @Get(':runId') @Operation({ summary: 'One bulk run', response: runSchema, problems: ['not-found'] })
 */
export function Operation<Response extends z.ZodType | null>(contract: OperationContract<Response>) {
  const decorate = applyDecorators(
    SetMetadata(OPERATION, contract),
    HttpCode(successStatus(contract)),
    ...(contract.response === null ? [] : [SerializeOptions({ schema: contract.response })]),
  );
  return <M extends Handler<Response>>(target: object, key: string | symbol, descriptor: TypedPropertyDescriptor<M>) =>
    decorate(target, key, descriptor);
}

/** The contract of a handler, or undefined when it was never declared. */
export function operationOf(handler: object): OperationContract | undefined {
  return Reflect.getMetadata(OPERATION, handler);
}

export function successStatus(contract: OperationContract): number {
  return contract.status ?? (contract.response === null ? 204 : 200);
}
