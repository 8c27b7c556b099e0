import { type MessageKey, t } from '../messages/translate.js';

const WORDS: Readonly<Record<string, MessageKey>> = {
  grain_soaked: 'entry.grain_soaked',
  grain_simmered: 'entry.grain_simmered',
  grain_drained: 'entry.grain_drained',
  grain_rested: 'entry.grain_rested',
  grain_filled: 'entry.grain_filled',
  cycle_started: 'entry.cycle_started',
  cycle_held: 'entry.cycle_held',
  cycle_ended: 'entry.cycle_ended',
  cycle_cooled: 'entry.cycle_cooled',
  culture_made: 'entry.culture_made',
  received: 'entry.received',
  inoculated: 'entry.inoculated',
  blanks_kept: 'entry.blanks_kept',
  checked: 'entry.checked',
  contamination_found: 'entry.contamination_found',
  shaken: 'entry.shaken',
  moved: 'entry.moved',
  chilled: 'entry.chilled',
  warmed: 'entry.warmed',
  mother_kept: 'entry.mother_kept',
  mother_released: 'entry.mother_released',
  opened: 'entry.opened',
  drawn_for_jars: 'entry.drawn_for_jars',
  drawn_for_run: 'entry.drawn_for_run',
  emptied: 'entry.emptied',
  washed: 'entry.washed',
  containers_counted: 'entry.containers_counted',
  broken: 'entry.broken',
  discarded: 'entry.discarded',
  regrowth_tested: 'entry.regrowth_tested',
  harvested: 'entry.harvested',
  noted: 'entry.noted',
  corrected: 'entry.corrected',
  settled: 'entry.settled',
};

/** What kind of entry it is, in words; a kind this page does not know yet (an older page, a newer server) by its name. */
export function entryWords(kind: string): string {
  const key = WORDS[kind];
  return key ? t(key) : t('entry.other', { kind });
}
