import { Injectable, RequestMethod, type Type } from '@nestjs/common';
import { METHOD_METADATA, PATH_METADATA } from '@nestjs/common/constants.js';
import { DiscoveryService, MetadataScanner } from '@nestjs/core';
import { type OperationContract, operationOf } from './operation.js';

/** One route of the service: where it is, which handler answers, and what it promises. */
export interface ServedOperation {
  readonly method: string;
  /** In OpenAPI's form: `/api/runs/{runId}`. */
  readonly path: string;
  readonly controller: Type;
  readonly handlerName: string;
  readonly contract: OperationContract;
}

/** All routes of all controllers, read from the same metadata the router reads. */
@Injectable()
export class Operations {
  private known: readonly ServedOperation[] | undefined;

  constructor(
    private readonly discovery: DiscoveryService,
    private readonly scanner: MetadataScanner,
  ) {}

  /** @throws Error when a route has no `@Operation`: it would have no response schema, no role and no documentation. */
  all(): readonly ServedOperation[] {
    this.known ??= this.discovery
      .getControllers()
      .flatMap(({ metatype }) => (metatype ? this.ofController(metatype as Type) : []))
      .sort((a, b) => (a.path === b.path ? a.method.localeCompare(b.method) : a.path < b.path ? -1 : 1));
    return this.known;
  }

  /** The methods served at a path, for the Allow header of a 405; empty when the path is not served at all. */
  methodsAt(path: string): readonly string[] {
    return this.all()
      .filter((operation) => templateMatches(operation.path, path))
      .flatMap(({ method }) => (method === 'GET' ? ['GET', 'HEAD'] : [method]));
  }

  private ofController(controller: Type): ServedOperation[] {
    return this.scanner.getAllMethodNames(controller.prototype).flatMap((handlerName) => {
      const handler = controller.prototype[handlerName] as object;
      const handlerPath = Reflect.getMetadata(PATH_METADATA, handler) as string | string[] | undefined;
      if (handlerPath === undefined) return [];
      const contract = operationOf(handler);
      if (!contract)
        throw new Error(`${controller.name}.${handlerName} is a route without @Operation: declare its contract.`);
      const method = RequestMethod[Reflect.getMetadata(METHOD_METADATA, handler) as RequestMethod];
      const base = Reflect.getMetadata(PATH_METADATA, controller) as string | string[];
      return asList(base).flatMap((prefix) =>
        asList(handlerPath).map((rest) => ({
          method,
          path: pathTemplate(prefix, rest),
          controller,
          handlerName,
          contract,
        })),
      );
    });
  }
}

function asList(value: string | string[]): string[] {
  return Array.isArray(value) ? value : [value];
}

function pathTemplate(prefix: string, rest: string): string {
  const parts = `${prefix}/${rest}`.split('/').filter((part) => part !== '');
  return `/${parts.map((part) => (part.startsWith(':') ? `{${part.slice(1)}}` : part)).join('/')}`;
}

function templateMatches(template: string, path: string): boolean {
  const wanted = template.split('/');
  const given = path.split('/');
  return wanted.length === given.length && wanted.every((part, at) => part.startsWith('{') || part === given[at]);
}
