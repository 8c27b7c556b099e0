import type { CheckedFarm } from './check-farm.js';
import { TELLING_G } from './check-starts.js';
import type { PlannedCulture, PlannedStart, PlannedUse } from './plan.js';
import type { StockContainer } from './situation.js';

/** What became of one group of alike containers: a container on hand, or all containers of a start. */
export interface SourceLife {
  readonly from: string;
  readonly strainId: string;
  readonly generation: number;
  readonly sizeId: string;
  readonly containers: number;
  readonly gramsEach: number;
  /** Day it begins to stand on a shelf; at most 0 for stock. */
  readonly standsFrom: number;
  readonly ripe: number;
  readonly startsCold: boolean;
  readonly startsOpened: boolean;
  /** One entry per container, in the order in which they leave. */
  readonly fates: readonly Fate[];
}

/** How one container ends: opened, thrown away or still there; and when it was chilled, if it was. */
export interface Fate {
  readonly end: 'opened' | 'discarded' | 'left';
  readonly endDay: number;
  /** Day the last gram left it, for opened ones. */
  readonly emptyDay: number;
  readonly chilledDay: number | null;
}

/** Every gram comes from somewhere that has it, in the days it has it. */
export function checkSources(farm: CheckedFarm): SourceLife[] {
  const known = new Set<string>();
  const lives: SourceLife[] = [];
  for (const container of farm.situation.stock) {
    known.add(container.code);
    if (!farm.strain(container.strainId) || !farm.size(container.sizeId)) continue;
    if (container.generation === 0) checkCultureOnHand(farm, container);
    else if (isOfNoUse(farm, container)) checkUnused(farm, container.code);
    else lives.push(stockLife(farm, container));
  }
  for (const start of farm.plan.starts) {
    known.add(start.id);
    const life = startLife(farm, start);
    if (life) lives.push(life);
  }
  for (const order of farm.plan.cultures) {
    known.add(order.id);
    checkOrderedCulture(farm, order);
  }
  for (const use of farm.plan.uses) {
    farm.expect(known.has(use.from), () => `use of ${use.from}, which is unknown`);
    farm.expect(
      use.grams > 0 && Number.isInteger(use.opened) && use.opened >= 0,
      () => `use of ${use.from}: ${use.grams} g`,
    );
  }
  return lives;
}

/** Empty, or too old on the planning day: the plan must leave it alone. */
function isOfNoUse(farm: CheckedFarm, container: StockContainer): boolean {
  const strain = farm.strain(container.strainId)!;
  const ripe = farm.stockRipe(container);
  const until = {
    incubating: Number.POSITIVE_INFINITY,
    ripe: ripe + strain.warmLifeDays,
    chilled: (container.chilledOn === null ? ripe : farm.day(container.chilledOn)) + strain.coldLifeDays,
    opened: (container.openedOn === null ? 0 : farm.day(container.openedOn)) + farm.situation.rhythm.openedLifeDays,
  }[container.state];
  return farm.stockGrams(container) <= 0 || until < 0;
}

function checkUnused(farm: CheckedFarm, code: string): void {
  const isUsed =
    farm.plan.uses.some((use) => use.from === code) || farm.plan.discards.some((each) => each.from === code);
  farm.expect(!isUsed, () => `${code}: used although it is empty or too old`);
}

function checkCultureOnHand(farm: CheckedFarm, container: StockContainer): void {
  const strain = farm.strain(container.strainId)!;
  const opened = container.state === 'opened';
  const until = opened
    ? (container.openedOn === null ? 0 : farm.day(container.openedOn)) + farm.situation.rhythm.openedLifeDays
    : farm.day(container.madeOn) + farm.cultureLifeDays(strain);
  checkCultureUses(
    farm,
    container.code,
    container.strainId,
    farm.stockRipe(container),
    until,
    farm.stockGrams(container),
  );
}

function checkOrderedCulture(farm: CheckedFarm, order: PlannedCulture): void {
  const strain = farm.strain(order.strainId);
  if (!strain?.culture) return;
  const ready = farm.day(order.readyOn);
  const grams = order.units * strain.culture.containersPerUnit * strain.inoculumGramsPerContainer;
  checkCultureUses(farm, order.id, order.strainId, ready, ready + farm.cultureLifeDays(strain), grams);
}

function checkCultureUses(
  farm: CheckedFarm,
  code: string,
  strainId: string,
  from: number,
  until: number,
  grams: number,
): void {
  const uses = farm.plan.uses.filter((use) => use.from === code);
  const used = uses.reduce((sum, use) => sum + use.grams, 0);
  farm.expect(used <= grams + TELLING_G * (uses.length + 1), () => `${code}: ${used} g used of ${grams} g`);
  for (const use of uses) {
    const day = farm.day(use.day);
    farm.expect(from <= day && day <= until, () => `${code}: culture used on ${use.day}, outside its life`);
    checkTarget(farm, use, strainId, 0, false);
  }
}

function stockLife(farm: CheckedFarm, container: StockContainer): SourceLife {
  const strain = farm.strain(container.strainId)!;
  const ripe = farm.stockRipe(container);
  const chilled =
    container.state === 'chilled' ? (container.chilledOn === null ? ripe : farm.day(container.chilledOn)) : null;
  const openedDay =
    container.state === 'opened' ? (container.openedOn === null ? 0 : farm.day(container.openedOn)) : null;
  const life = {
    from: container.code,
    strainId: strain.id,
    generation: container.generation,
    sizeId: container.sizeId,
    containers: 1,
    gramsEach: farm.stockGrams(container),
    standsFrom: 0,
    ripe,
    startsCold: chilled !== null,
    startsOpened: openedDay !== null,
  };
  if (openedDay !== null) return { ...life, fates: [checkOpenedStock(farm, container, openedDay)] };
  return { ...life, fates: checkUnopened(farm, life, chilled, container.keptAsMother) };
}

function checkOpenedStock(farm: CheckedFarm, container: StockContainer, openedDay: number): Fate {
  const uses = farm.plan.uses.filter((use) => use.from === container.code);
  const until = openedDay + farm.situation.rhythm.openedLifeDays;
  const used = uses.reduce((sum, use) => sum + use.grams, 0);
  farm.expect(
    used <= farm.stockGrams(container) + TELLING_G * (uses.length + 1),
    () => `${container.code}: ${used} g used twice`,
  );
  for (const use of uses) {
    farm.expect(farm.day(use.day) <= until, () => `${container.code}: used on ${use.day} after it was open too long`);
    checkTarget(farm, use, container.strainId, container.generation, container.keptAsMother);
  }
  return { end: 'opened', endDay: 0, emptyDay: until, chilledDay: null };
}

function startLife(farm: CheckedFarm, start: PlannedStart): SourceLife | null {
  const strain = farm.strain(start.strainId);
  const size = farm.size(start.sizeId);
  if (!strain || !size) return null;
  const life = {
    from: start.id,
    strainId: start.strainId,
    generation: start.generation,
    sizeId: start.sizeId,
    containers: start.containers,
    gramsEach: size.ripeGrams * (1 - strain.lossRate),
    standsFrom: farm.day(start.benchDay),
    ripe: farm.day(start.benchDay) + strain.daysToRipe,
    startsCold: false,
    startsOpened: false,
  };
  return { ...life, fates: checkUnopened(farm, life, null, false) };
}

/** Containers that open together on one day, from the warm or from the cold. */
interface OpenedGroup {
  readonly day: number;
  readonly cold: boolean;
  readonly uses: PlannedUse[];
}

function checkUnopened(
  farm: CheckedFarm,
  life: Omit<SourceLife, 'fates'>,
  chilledBefore: number | null,
  motherOnly: boolean,
): Fate[] {
  const groups = openedGroups(farm, life.from);
  for (const group of groups) checkGroup(farm, life, group, motherOnly);
  const ends = [
    ...groups.flatMap((group) => repeat(countOpened(group, farm, life), endOfGroup(farm, group, life.from))),
    ...farm.plan.discards
      .filter((discard) => discard.from === life.from && discard.containers > 0)
      .flatMap((discard) => {
        const day = farm.day(discard.day);
        return repeat(discard.containers, { end: 'discarded' as const, endDay: day, emptyDay: day, cold: null });
      }),
  ];
  farm.expect(
    ends.length <= life.containers,
    () => `${life.from}: ${ends.length} of ${life.containers} containers used`,
  );
  const left = {
    end: 'left' as const,
    endDay: farm.situation.horizonDays + 1,
    emptyDay: Number.POSITIVE_INFINITY,
    cold: null,
  };
  return assignCold(farm, life, [...ends, ...repeat(life.containers - ends.length, left)], chilledBefore);
}

function openedGroups(farm: CheckedFarm, from: string): OpenedGroup[] {
  const groups = new Map<string, OpenedGroup>();
  for (const use of farm.plan.uses.filter((each) => each.from === from)) {
    const key = `${use.openedOn}|${use.cold}`;
    const group = groups.get(key) ?? { day: farm.day(use.openedOn), cold: use.cold, uses: [] };
    group.uses.push(use);
    groups.set(key, group);
  }
  return [...groups.values()];
}

function countOpened(group: OpenedGroup, farm: CheckedFarm, life: Omit<SourceLife, 'fates'>): number {
  const opened = group.uses.reduce((sum, use) => sum + use.opened, 0);
  farm.expect(opened > 0, () => `${life.from}: grams from a container that was never opened`);
  return opened;
}

function checkGroup(farm: CheckedFarm, life: Omit<SourceLife, 'fates'>, group: OpenedGroup, motherOnly: boolean): void {
  const opened = group.uses.reduce((sum, use) => sum + use.opened, 0);
  const grams = group.uses.reduce((sum, use) => sum + use.grams, 0);
  const given = opened * life.gramsEach;
  farm.expect(
    grams <= given + TELLING_G * (group.uses.length + 1),
    () => `${life.from}: ${grams} g from ${opened} opened (${given} g)`,
  );
  farm.expect(
    group.day >= Math.max(0, life.ripe),
    () => `${life.from}: opened on day ${group.day}, ripe on day ${life.ripe}`,
  );
  for (const use of group.uses) {
    const late = farm.day(use.day) - group.day;
    farm.expect(
      late >= 0 && late <= farm.situation.rhythm.openedLifeDays,
      () => `${life.from}: used ${late} days after it was opened`,
    );
    checkTarget(farm, use, life.strainId, life.generation, motherOnly);
  }
}

function endOfGroup(farm: CheckedFarm, group: OpenedGroup, from: string) {
  const lastUse = Math.max(...group.uses.map((use) => farm.day(use.day)));
  const rests = farm.plan.discards.filter(
    (discard) =>
      discard.from === from &&
      discard.containers === 0 &&
      farm.day(discard.day) >= group.day &&
      farm.day(discard.day) <= group.day + farm.situation.rhythm.openedLifeDays,
  );
  const emptyDay = Math.max(lastUse, ...rests.map((rest) => farm.day(rest.day)));
  return { end: 'opened' as const, endDay: group.day, emptyDay, cold: group.cold };
}

interface End {
  readonly end: Fate['end'];
  readonly endDay: number;
  readonly emptyDay: number;
  /** Whether it came from the cold; null when the plan does not say. */
  readonly cold: boolean | null;
}

/**
 * Gives chillings to containers: those opened cold need one early enough, those opened warm none; what is left over goes
 * to the ones thrown away or left. First chilled, first out.
 */
function assignCold(
  farm: CheckedFarm,
  life: Omit<SourceLife, 'fates'>,
  ends: readonly End[],
  chilledBefore: number | null,
): Fate[] {
  const strain = farm.strain(life.strainId)!;
  const chillings = chillingDays(farm, life.from);
  farm.expect(chillings.length === 0 || strain.mayBeChilled, () => `${life.from}: ${strain.id} must not be chilled`);
  const warmUntil = life.ripe + strain.warmLifeDays;
  const pool: number[] = chilledBefore === null ? chillings : [chilledBefore];
  return [...ends]
    .sort((one, other) => rank(one, warmUntil) - rank(other, warmUntil) || one.endDay - other.endDay)
    .map((end) => {
      const isCold = end.cold === true || (end.cold === null && pool.length > 0);
      const chilledDay = isCold ? (pool.shift() ?? null) : null;
      farm.expect(!isCold || chilledDay !== null, () => `${life.from}: opened from the cold, never chilled`);
      checkAge(farm, life, end, chilledDay, chilledBefore === null);
      return { end: end.end, endDay: end.endDay, emptyDay: end.emptyDay, chilledDay };
    });
}

/** What is there after its warm life must have been chilled, whatever the plan says of it. */
function rank(end: End, warmUntil: number): number {
  if (end.cold !== null) return end.cold ? 0 : 3;
  return end.endDay > warmUntil + 1 ? 1 : 2;
}

function chillingDays(farm: CheckedFarm, from: string): number[] {
  return farm.plan.moves
    .filter((move) => move.from === from && move.kind === 'chill')
    .flatMap((move) => repeat(move.containers, farm.day(move.day)))
    .sort((one, other) => one - other);
}

function checkAge(
  farm: CheckedFarm,
  life: Omit<SourceLife, 'fates'>,
  end: End,
  chilledDay: number | null,
  chilledByPlan: boolean,
): void {
  const strain = farm.strain(life.strainId)!;
  const warmUntil = life.ripe + strain.warmLifeDays;
  if (chilledDay !== null && chilledByPlan) {
    farm.expect(chilledDay >= life.ripe && chilledDay <= warmUntil, () => `${life.from}: chilled on day ${chilledDay}`);
  }
  if (end.end !== 'opened') return;
  const until = chilledDay === null ? warmUntil : chilledDay + strain.coldLifeDays;
  farm.expect(end.endDay <= until, () => `${life.from}: opened on day ${end.endDay}, good until day ${until}`);
  if (chilledDay === null) return;
  if (!chilledByPlan) {
    farm.expect(end.endDay >= farm.warmUpDays, () => `${life.from}: opened before it could be warmed up`);
    return;
  }
  farm.expect(end.endDay > chilledDay + farm.warmUpDays, () => `${life.from}: opened before it was warm`);
}

function checkTarget(
  farm: CheckedFarm,
  use: PlannedUse,
  strainId: string,
  generation: number,
  motherOnly: boolean,
): void {
  const { to } = use;
  if (to.kind === 'run') {
    farm.expect(generation > 0 && !motherOnly, () => `${use.from}: a mother or culture goes to run ${to.run}`);
    return;
  }
  const start = farm.plan.starts.find((each) => each.id === to.start);
  farm.expect(
    start?.strainId === strainId && start.generation === generation + 1,
    () => `${use.from}: inoculates ${to.start}`,
  );
}

function repeat<Thing>(count: number, thing: Thing): Thing[] {
  return Array.from({ length: Math.max(0, count) }, () => thing);
}
