import type { EntryKind } from '@jarfold/domain';

/** Kinds after which a plan made before them is still right: they change neither stock nor preparation. */
const NO_MATTER: ReadonlySet<string> = new Set<EntryKind>([
  'noted',
  'settled',
  'shaken',
  'moved',
  'harvested',
  'regrowth_tested',
  'grain_soaked',
  'grain_simmered',
  'grain_drained',
  'grain_rested',
  'cycle_held',
]);

/** Whether an applied entry of this kind calls for a new plan. */
export function mattersToPlan(kind: string): boolean {
  return !NO_MATTER.has(kind);
}
