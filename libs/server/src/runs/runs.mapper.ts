import type { Run, RunCoverageJson } from '@jarfold/contracts';
import { gramsToKilograms } from '@jarfold/domain';
import type { StrainRow } from '../farm/index.js';
import type { RunRow } from './runs.repository.js';

export function runJson(
  row: RunRow,
  strains: readonly StrainRow[],
  coverage: ReadonlyMap<string, RunCoverageJson>,
): Run {
  const shown = {
    ...sharedJson(row),
    strains: row.strainIds.flatMap((id) => {
      const strain = strains.find((candidate) => candidate.id === id);
      return strain === undefined ? [] : [{ id, code: strain.code, name: strain.name }];
    }),
    cancelled: row.cancelled === null ? null : { ...row.cancelled, at: row.cancelled.at.toISOString() },
    coverage: row.state === 'planned' ? (coverage.get(row.id) ?? null) : null,
  };
  if (row.kind === 'bulk') {
    const { kind, substrateWetG, substrateMoisture, spawnRate, basis, maxShare } = row;
    return {
      ...{ ...shown, kind, substrateMoisture, spawnRate, basis, maxShare },
      substrateWetKg: gramsToKilograms(substrateWetG),
    };
  }
  const { kind, jars, sizeId: id, sizeName: name, ripeGrams, handedOver, forWhom } = row;
  return { ...shown, kind, jars, size: { id, name, ripeGrams }, handedOver, forWhom };
}

function sharedJson({ id, revision, name, day, minShare, minGrams, targetGrams, maxGrams, ...row }: RunRow) {
  const { priority, slackDays, note, state } = row;
  return { id, revision, name, day, minShare, minGrams, targetGrams, maxGrams, priority, slackDays, note, state };
}
