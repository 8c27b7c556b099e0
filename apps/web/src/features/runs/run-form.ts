import { type BulkRunJson, type NewBulkRun, newBulkRunSchema, type RunPatch, runPatchSchema } from '@jarfold/contracts';
import { type CheckedBody, checkedBody } from '../../ui/checked-body.js';
import { percentText, readPercent } from '../../ui/percent.js';
import { readNumber } from '../../ui/read-number.js';
import { changedOnly, withoutEmpty } from './form-body.js';

/** A run as its boxes hold it: text, as typed. An empty box means: leave it to the starting value. */
export interface RunFormValues {
  readonly name: string;
  readonly day: string;
  readonly strainIds: readonly string[];
  readonly substrateWetKg: string;
  readonly substrateMoisture: string;
  readonly spawnRate: string;
  readonly basis: BulkRunJson['basis'] | '';
  readonly minShare: string;
  readonly priority: string;
  readonly slackDays: string;
  readonly note: string;
}

export const EMPTY_RUN: RunFormValues = {
  name: '',
  day: '',
  strainIds: [],
  substrateWetKg: '',
  substrateMoisture: '',
  spawnRate: '',
  basis: '',
  minShare: '',
  priority: '',
  slackDays: '',
  note: '',
};

export function valuesOf(run: BulkRunJson): RunFormValues {
  return {
    name: run.name,
    day: run.day,
    strainIds: run.strains.map((strain) => strain.id),
    substrateWetKg: String(run.substrateWetKg),
    substrateMoisture: percentText(run.substrateMoisture),
    spawnRate: percentText(run.spawnRate),
    basis: run.basis,
    minShare: percentText(run.minShare),
    priority: String(run.priority),
    slackDays: String(run.slackDays),
    note: run.note ?? '',
  };
}

/** The body of a new run; what was left empty is left out, so that the farm's starting values apply. */
export function newRunBody(values: RunFormValues): CheckedBody<NewBulkRun> {
  const fields = numbersOf(values);
  return checkedBody(
    newBulkRunSchema,
    withoutEmpty({
      ...fields,
      name: values.name.trim() || undefined,
      day: values.day,
      strainIds: values.strainIds,
      basis: values.basis || undefined,
      note: values.note.trim() || undefined,
      // A number that is missing must be told at its box, not taken for left out.
      substrateWetKg: fields.substrateWetKg ?? Number.NaN,
    }),
  );
}

/** Only what was changed: another person's edit of another field is then not undone by accident. */
export function runPatchBody(before: RunFormValues, after: RunFormValues): CheckedBody<RunPatch> {
  const fields = numbersOf(after);
  const all = {
    name: after.name.trim(),
    day: after.day,
    strainIds: after.strainIds,
    basis: after.basis || undefined,
    note: after.note.trim() || null,
    substrateWetKg: fields.substrateWetKg ?? Number.NaN,
    substrateMoisture: fields.substrateMoisture ?? null,
    spawnRate: fields.spawnRate ?? Number.NaN,
    minShare: fields.minShare ?? Number.NaN,
    priority: fields.priority ?? Number.NaN,
    slackDays: fields.slackDays ?? Number.NaN,
  };
  return checkedBody(runPatchSchema, changedOnly(before, after, all));
}

function numbersOf(values: RunFormValues) {
  return {
    substrateWetKg: readNumber(values.substrateWetKg) ?? undefined,
    substrateMoisture: readPercent(values.substrateMoisture) ?? undefined,
    spawnRate: readPercent(values.spawnRate) ?? undefined,
    minShare: readPercent(values.minShare) ?? undefined,
    priority: readNumber(values.priority) ?? undefined,
    slackDays: readNumber(values.slackDays) ?? undefined,
  };
}
