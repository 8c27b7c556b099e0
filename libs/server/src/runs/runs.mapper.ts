import type { Run, RunCoverageJson } from '@jarfold/contracts';
import { gramsToKilograms } from '@jarfold/domain';
import type { StrainRow } from '../farm/index.js';
import type { RunRow } from './runs.repository.js';

export function runJson(
  row: RunRow,
  strains: readonly StrainRow[],
  coverage: ReadonlyMap<string, RunCoverageJson>,
): Run {
  const { strainIds, substrateWetG, cancelled, doneOn: _doneOn, ...shown } = row;
  return {
    ...shown,
    substrateWetKg: gramsToKilograms(substrateWetG),
    strains: strainIds.flatMap((id) => {
      const strain = strains.find((candidate) => candidate.id === id);
      return strain === undefined ? [] : [{ id, code: strain.code, name: strain.name }];
    }),
    cancelled: cancelled === null ? null : { ...cancelled, at: cancelled.at.toISOString() },
    coverage: row.state === 'planned' ? (coverage.get(row.id) ?? null) : null,
  };
}
