import type { Week, WeekSource } from '@jarfold/contracts';
import { type BookWork, type FileUnits, groupedBy, jarsInHand, type WeekInBrief, writtenMass } from '@jarfold/domain';

/** The week's work in the order it is done, as lines of a workbook; masses as the grower's files show them. */
export function workLines(week: Week, units: FileUnits): BookWork[] {
  const lines = [
    ...week.cultures.filter(({ orderBy }) => orderBy >= week.monday && orderBy <= week.sunday).map(orderLine),
    ...[...groupedBy(week.moves, ({ day, kind }) => `${day} ${kind}`).values()].map(moveLine),
    ...week.preparations.map((each) => prepareLine(each, units)),
    ...week.benchDays.flatMap(({ day, starts }) => starts.map((start) => inoculateLine(day, start, units))),
    ...week.runs.flatMap(({ run, uses }) =>
      [...groupedBy(uses, ({ day }) => day).values()].map((each) => drawLine(run, each, units)),
    ),
  ];
  return lines.sort((a, b) => a.day.localeCompare(b.day));
}

function orderLine({ orderBy, readyOn, units, strain }: Week['cultures'][number]): BookWork {
  return {
    day: orderBy,
    work: 'Order',
    what: `${units} ${units === 1 ? 'unit' : 'units'} of ${strain.code} culture`,
    from: '',
    purpose: `ready ${readyOn}`,
  };
}

/** All that is chilled or warmed on one day is one line. */
function moveLine(moves: readonly Week['moves'][number][]): BookWork {
  const [{ day, kind }] = moves as [Week['moves'][number]];
  const count = moves.reduce((sum, { containers }) => sum + containers, 0);
  const from = sourcesText(moves.map((move) => move.from));
  return { day, work: kind === 'chill' ? 'Chill' : 'Warm up', what: jars(count), from, purpose: '' };
}

function prepareLine(
  { day, benchDay, cycles, jars: wanted, grain }: Week['preparations'][number],
  units: FileUnits,
): BookWork {
  const sizes = wanted.map(({ size, count }) => `${count} × ${size.name}`).join(', ');
  const loads = `${cycles} ${cycles === 1 ? 'load' : 'loads'}`;
  const what = `${sizes}; ${loads}; ${writtenMass(grain.dryGrainG, units)} ${grain.grainName}`;
  return { day, work: 'Prepare', what, from: '', purpose: `bench day ${benchDay}` };
}

function inoculateLine(
  day: BookWork['day'],
  start: Week['benchDays'][number]['starts'][number],
  units: FileUnits,
): BookWork {
  const feeds = start.feeds.map(({ run, grams }) => `${run.name} (${writtenMass(grams, units)})`);
  const later = start.mothersLaterGrams > 0 ? ['mothers for later'] : [];
  const reserve = start.reserveGrams > 0 ? ['mother reserve'] : [];
  return {
    ...{ day, work: 'Inoculate' },
    what: `${jars(start.containers)} ${start.strain.code} G${start.generation}, ${start.size.name}`,
    from: sourcesText(start.mothers),
    purpose: [...feeds, ...later, ...reserve].join(', '),
  };
}

/** All that is drawn for one run on one day is one line: its total first, then the jars. An order gets whole jars. */
function drawLine(
  run: Week['runs'][number]['run'],
  uses: readonly Week['runs'][number]['uses'][number][],
  units: FileUnits,
): BookWork {
  const [{ day }] = uses as [Week['runs'][number]['uses'][number]];
  const grams = uses.reduce((sum, { from }) => sum + from.grams, 0);
  const from = sourcesText(uses.map((use) => use.from));
  const { name: purpose, order } = run;
  if (order !== null) {
    const what = `${jars(jarsInHand(grams, order.ripeGrams))}, ${order.size.name}`;
    return { day, work: 'Hand over', what, from, purpose };
  }
  return { day, work: 'Draw', what: `${writtenMass(grams, units)} from ${jars(uses.length)}`, from, purpose };
}

type Source = Pick<WeekSource, 'label' | 'place'>;

/** Jars of one lot in one room together: `OY3-26W46-2/01 04 07 (Warm room)`. */
function sourcesText(sources: readonly Source[]): string {
  const lots = [...groupedBy(sources, ({ label, place }) => `${label.split('/')[0]} ${place?.roomId}`).values()];
  return lots
    .map((lot) => {
      const [{ label, place }] = lot as [Source];
      const others = lot.slice(1).map((source) => source.label.split('/')[1] ?? source.label);
      return [label, ...others, ...(place === null ? [] : [`(${place.roomName})`])].join(' ');
    })
    .join('; ');
}

/** The counts of a week that its plan knows. */
export function planInBrief(
  week: Week,
): Pick<WeekInBrief, 'jarsToStart' | 'cycles' | 'dryGrainG' | 'grainName' | 'shortages' | 'runsBelowTarget'> {
  return {
    jarsToStart: week.totals.starts,
    cycles: week.totals.cycles,
    dryGrainG: week.totals.dryGrainG,
    grainName: week.preparations[0]?.grain.grainName ?? null,
    runsBelowTarget: week.shortages.filter(({ kind }) => kind === 'below-target').length,
    shortages: week.shortages
      .filter(({ kind }) => kind === 'below-minimum')
      .map(({ run, shortGrams }) => ({ run: run.name, day: run.day, shortG: shortGrams })),
  };
}

const jars = (count: number) => `${count} ${count === 1 ? 'jar' : 'jars'}`;
