import type { AwayPeriodJson, StaffMember } from '@jarfold/contracts';
import { readNumber } from '../../ui/read-number.js';

/** Days away as the boxes hold them; `key` tells rows apart while they are typed in. */
export interface AwayText {
  readonly key: number;
  readonly firstDay: string;
  readonly lastDay: string;
  readonly note: string;
}

export interface BenchTimeValues extends Record<string, unknown> {
  readonly benchMinutes: string;
  readonly away: readonly AwayText[];
}

export function benchTimeValues({ benchMinutes, away }: StaffMember): BenchTimeValues {
  return { benchMinutes: benchMinutes === null ? '' : String(benchMinutes), away: away.map(awayText) };
}

const awayText = ({ firstDay, lastDay, note }: AwayPeriodJson, key: number): AwayText => ({
  ...{ key, firstDay, lastDay },
  note: note ?? '',
});

/** One more row, under a key no other has. */
export function withAnother(away: readonly AwayText[]): readonly AwayText[] {
  const key = away.reduce((most, row) => Math.max(most, row.key), -1) + 1;
  return [...away, { key, firstDay: '', lastDay: '', note: '' }];
}

/** What is sent: an empty box of minutes is "not said"; one day away has no last day of its own. */
export function benchTimeBody({ benchMinutes, away }: BenchTimeValues): unknown {
  return {
    benchMinutes: readNumber(benchMinutes),
    away: away.map(({ firstDay, lastDay, note }) => ({
      firstDay,
      lastDay: lastDay === '' ? firstDay : lastDay,
      note: note.trim() === '' ? null : note,
    })),
  };
}
