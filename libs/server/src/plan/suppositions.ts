import type { SuppositionJson } from '@jarfold/contracts';
import { benchDaysFrom, daysBetween, isAwayOn } from '@jarfold/domain';
import type { Supposition } from '@jarfold/domain/planning';
import { readSettings } from '../farm/index.js';
import { AppError, type GrowerContext, type GrowerTx } from '../platform/index.js';
import { listBenchPeople } from '../staff/index.js';
import { listLotCodes } from './what-if.repository.js';

/**
 * What somebody supposes of lots and people, as the planner knows it: jars and minutes.
 * @throws AppError `rule-refused` when it speaks of something that is not there; `role-too-low` for a hand who asks about
 * somebody: the answer tells of their minutes and days away
 */
export async function supposition(
  tx: GrowerTx,
  { growerId, role }: GrowerContext,
  asked: SuppositionJson,
): Promise<Supposition> {
  if (asked.kind === 'lose-lot') return loseLot(tx, growerId, asked.code);
  if (asked.kind !== 'person-away') return asked;
  if (role === 'hand') throw new AppError('role-too-low', 'What if somebody is away is asked by a lead or an owner.');
  return personAway(tx, growerId, asked);
}

async function loseLot(tx: GrowerTx, growerId: string, lotCode: string): Promise<Supposition> {
  const codes = await listLotCodes(tx, growerId, lotCode);
  if (codes.length === 0)
    throw refused(`No usable jar of lot "${lotCode}" is on hand. Take the code of a lot that the Stock screen shows.`);
  return { kind: 'lose-jars', codes };
}

/** A year at most, as for a bench without a session. */
const MOST_DAYS = 366;

/** Their minutes fall out on the bench days on which they would have been there. */
async function personAway(
  tx: GrowerTx,
  growerId: string,
  { staffId, from, until }: Extract<SuppositionJson, { kind: 'person-away' }>,
): Promise<Supposition> {
  const days = daysBetween(from, until);
  if (days < 0 || days >= MOST_DAYS) throw refused(`From ${from} until ${until} is no span of up to a year.`);
  const person = (await listBenchPeople(tx, growerId)).find((each) => each.staffId === staffId);
  if (person === undefined) throw refused('Nobody with this id works on the farm.');
  if (person.benchMinutes === null) throw refused('Nobody has said how many minutes this person gives at the bench.');
  const { rhythm } = await readSettings(tx, growerId);
  const missed = benchDaysFrom(rhythm, from, days).filter((day) => !isAwayOn(person.away, day));
  return { kind: 'fewer-minutes', days: missed, minutes: person.benchMinutes };
}

const refused = (why: string): AppError => new AppError('rule-refused', `${why} Nothing was changed.`);
