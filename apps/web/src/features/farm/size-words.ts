import type { ContainerSizeJson } from '@jarfold/contracts';
import type { MessageKey } from '../../messages/translate.js';

/** What spawn lives in. */
export const CONTAINER_WORDS = {
  jar: 'container.jar',
  bag: 'container.bag',
  bottle: 'container.bottle',
  plate: 'container.plate',
  syringe: 'container.syringe',
  slant: 'container.slant',
} as const satisfies Record<ContainerSizeJson['container'], MessageKey>;

/** What spawn lives on. */
export const CARRIER_WORDS = {
  grain: 'carrier.grain',
  sawdust: 'carrier.sawdust',
  plugs: 'carrier.plugs',
  agar: 'carrier.agar',
  liquid: 'carrier.liquid',
} as const satisfies Record<ContainerSizeJson['carrier'], MessageKey>;
