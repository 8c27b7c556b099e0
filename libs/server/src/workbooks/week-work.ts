import type { Week, WeekSource } from '@jarfold/contracts';
import type { BookWork, WeekInBrief } from '@jarfold/domain';

/** The week's work in the order it is done, as lines of a workbook. */
export function workLines(week: Week): BookWork[] {
  const lines = [
    ...week.cultures.filter(({ orderBy }) => orderBy >= week.monday && orderBy <= week.sunday).map(orderLine),
    ...week.moves.map(moveLine),
    ...week.preparations.map(prepareLine),
    ...week.benchDays.flatMap(({ day, starts }) => starts.map((start) => inoculateLine(day, start))),
    ...week.runs.flatMap(({ run, uses }) => uses.map((use) => drawLine(run.name, use))),
  ];
  return lines.sort((a, b) => a.day.localeCompare(b.day));
}

function orderLine({ orderBy, readyOn, units, strain }: Week['cultures'][number]): BookWork {
  return {
    day: orderBy,
    work: 'Order',
    what: `${units} culture ${strain.code}`,
    from: '',
    purpose: `ready ${readyOn}`,
  };
}

function moveLine({ day, kind, containers, from }: Week['moves'][number]): BookWork {
  const work = kind === 'chill' ? 'Chill' : 'Warm up';
  return { day, work, what: jars(containers), from: sourceText(from), purpose: '' };
}

function prepareLine({ day, benchDay, cycles, jars: wanted, grain }: Week['preparations'][number]): BookWork {
  const sizes = wanted.map(({ size, count }) => `${count} × ${size.name}`).join(', ');
  const loads = `${cycles} ${cycles === 1 ? 'load' : 'loads'}`;
  const what = `${sizes}; ${loads}; ${Math.round(grain.dryGrainG)} g ${grain.grainName}`;
  return { day, work: 'Prepare', what, from: '', purpose: `bench day ${benchDay}` };
}

function inoculateLine(day: BookWork['day'], start: Week['benchDays'][number]['starts'][number]): BookWork {
  const feeds = start.feeds.map(({ run, grams }) => `${run.name} (${Math.round(grams)} g)`);
  const later = start.mothersLaterGrams > 0 ? ['mothers for later'] : [];
  const reserve = start.reserveGrams > 0 ? ['mother reserve'] : [];
  return {
    ...{ day, work: 'Inoculate' },
    what: `${jars(start.containers)} ${start.strain.code} G${start.generation}, ${start.size.name}`,
    from: start.mothers.map((mother) => sourceText(mother)).join('; '),
    purpose: [...feeds, ...later, ...reserve].join(', '),
  };
}

function drawLine(run: string, { day, from, cold }: Week['runs'][number]['uses'][number]): BookWork {
  const what = `${Math.round(from.grams)} g${cold ? ' from the cold' : ''}`;
  return { day, work: 'Draw for run', what, from: sourceText(from), purpose: run };
}

function sourceText({ label, place }: Pick<WeekSource, 'label' | 'place'>): string {
  return place === null ? label : `${label} (${[place.roomName, place.shelfName].filter(Boolean).join(', ')})`;
}

/** The counts of a week that its plan knows. */
export function planInBrief(
  week: Week,
): Pick<WeekInBrief, 'jarsToStart' | 'cycles' | 'dryGrainG' | 'grainName' | 'shortages'> {
  return {
    jarsToStart: week.totals.starts,
    cycles: week.totals.cycles,
    dryGrainG: week.totals.dryGrainG,
    grainName: week.preparations[0]?.grain.grainName ?? null,
    shortages: week.shortages.map(({ run, shortGrams }) => ({ run: run.name, day: run.day, shortG: shortGrams })),
  };
}

const jars = (count: number) => `${count} ${count === 1 ? 'jar' : 'jars'}`;
