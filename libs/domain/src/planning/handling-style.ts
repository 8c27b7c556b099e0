/** Habits of handing out containers. None is best for every farm, so a search tries them. */
export interface HandlingStyle {
  /** The smallest mother that suffices is opened, not the first to expire. */
  readonly smallestMother: boolean;
  /** A mother may be opened some days early, for a run that takes the rest of it. */
  readonly earlyMother: boolean;
  /** Containers are kept open for later uses, even where that keeps a container from being washed. */
  readonly keepsOpen: boolean;
  /** What has to wait is chilled as soon as it is ripe, not only when its warm life would not reach. */
  readonly chillsSoon: boolean;
}

export const HABITS = ['smallestMother', 'earlyMother', 'keepsOpen', 'chillsSoon'] as const;

export const PLAIN_STYLE: HandlingStyle = {
  smallestMother: false,
  earlyMother: false,
  keepsOpen: false,
  chillsSoon: false,
};

/** Names a style, so that what depends on it can be kept. */
export function styleKey(style: HandlingStyle): string {
  return HABITS.map((habit) => Number(style[habit])).join('');
}
