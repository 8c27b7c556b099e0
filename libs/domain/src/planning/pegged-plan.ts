/** A solution read back: which named container or start does what. Days count from `asOf`. */
export interface PeggedPlan {
  readonly starts: readonly PeggedStart[];
  readonly orders: readonly PeggedOrder[];
  readonly loads: readonly PeggedLoad[];
  readonly uses: readonly PeggedUse[];
  readonly chillings: readonly PeggedMove[];
  readonly warmings: readonly PeggedMove[];
  readonly discards: readonly PeggedDiscard[];
  /** Containers that are whole and good at the end of the horizon. */
  readonly left: readonly PeggedLeft[];
  readonly lacks: readonly ReserveLack[];
}

/** Mothers a strain lacks from a day until before another. */
export interface ReserveLack {
  readonly strain: number;
  readonly day: number;
  readonly until: number;
  readonly missing: number;
}

export interface PeggedStart {
  readonly id: string;
  readonly strain: number;
  readonly generation: number;
  readonly size: number;
  readonly benchDay: number;
  readonly ripeDay: number;
  readonly containers: number;
  /** Of these, containers whose grain is done. */
  readonly prepared: number;
  readonly gramsEach: number;
  readonly inoculumGramsEach: number;
}

export interface PeggedOrder {
  readonly id: string;
  readonly strain: number;
  readonly orderBy: number;
  readonly readyOn: number;
  readonly units: number;
  readonly gramsPerUnit: number;
}

export interface PeggedLoad {
  readonly preparationDay: number;
  readonly benchDay: number;
  readonly cycles: number;
}

export interface PeggedUse {
  readonly day: number;
  readonly from: string;
  readonly generation: number;
  readonly grams: number;
  readonly to:
    | { readonly kind: 'run'; readonly run: number; readonly choice: number }
    | { readonly kind: 'start'; readonly start: string };
  readonly cold: boolean;
  readonly opened: number;
  readonly openedOn: number;
}

export interface PeggedMove {
  readonly day: number;
  readonly from: string;
  readonly containers: number;
}

export interface PeggedDiscard extends PeggedMove {
  readonly grams: number;
}

export interface PeggedLeft {
  readonly from: string;
  readonly strain: number;
  readonly generation: number;
  readonly containers: number;
  readonly grams: number;
}

/** One container, or as many alike ones of a start as are opened together, whose grams stand in a bucket. */
export interface OpenedUnit {
  readonly from: string;
  readonly cold: boolean;
  readonly day: number;
  /** 1 for a container opened by the plan, 0 for one that was open on the planning day. */
  readonly opens: number;
  readonly grams: number;
}

export function startId(asOfDay: string, strainId: string, generation: number, sizeId: string): string {
  return `start:${asOfDay}:${strainId}:G${generation}:${sizeId}`;
}
