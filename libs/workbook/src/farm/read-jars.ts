import type { CalendarDay, ContainerSize, Room, StockContainer, StrainProfile } from '@jarfold/domain';
import type { ProblemList } from '../sheets/problem-list.js';
import { checkJarContents, checkJarDays, madeOnOf } from './check-jar.js';
import { isGone, type JarRow, jarOf } from './farm-jar.js';
import { roomOfPlace } from './jar-place.js';
import type { Listed } from './read-lists.js';

interface JarContext {
  readonly strains: Listed<StrainProfile>;
  readonly sizes: Listed<ContainerSize>;
  readonly rooms: Listed<Room>;
  readonly asOf: CalendarDay;
}

/** The jars that can still be of use. Those that are gone by their state are counted and left out. */
export function readJars(rows: readonly JarRow[], context: JarContext, found: ProblemList): readonly StockContainer[] {
  const jars = rows.map((row) => readJar(row, context, found)).filter((jar) => jar !== null);
  const gone = rows.filter(({ values }) => isGone(values.state ?? ''));
  if (gone[0]) {
    const count = gone.length === 1 ? '1 jar is' : `${gone.length} jars are`;
    const message = `${count} emptied, discarded, contaminated or aged out; left out of the plan.`;
    found.note(gone[0].sheet, null, message);
  }
  return jars;
}

function readJar(row: JarRow, { strains, sizes, rooms, asOf }: JarContext, found: ProblemList): StockContainer | null {
  const { values } = row;
  const named = <T>(list: Listed<T>, key: 'strain' | 'size') => {
    const written = values[key];
    const name = written === null ? null : list.names.find(row, key, written, found);
    return name === null ? null : list.find(name);
  };
  const strain = named(strains, 'strain');
  const size = named(sizes, 'size');
  const roomId = roomOfPlace(row, rooms.names, found);
  checkJarDays(row, asOf, found);
  checkJarContents(row, size, found);
  const madeOn = madeOnOf(row, strain, found);
  const complete = strain && size && madeOn && values.generation !== null && values.state !== null;
  if (!complete || isGone(values.state)) return null;
  return jarOf({ row, strain, size, roomId, madeOn }, asOf, found);
}
