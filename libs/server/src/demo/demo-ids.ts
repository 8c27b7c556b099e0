/** Ids of the things that stand before the story begins. */
export interface DemoIds {
  readonly strainIds: readonly string[];
  readonly shelves: readonly {
    readonly id: string;
    readonly roomKind: string;
    readonly rows: number;
    readonly placesPerRow: number;
  }[];
  readonly jarSizeId: string;
  readonly plateSizeId: string;
  readonly staffIds: readonly string[];
}
