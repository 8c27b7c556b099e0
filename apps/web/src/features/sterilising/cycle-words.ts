import type { CycleJson } from '@jarfold/contracts';
import type { MessageKey } from '../../messages/translate.js';

export const METHOD_WORDS = {
  pressure: 'method.pressure',
  boiling_water_steam: 'method.boiling',
  two_day_steam: 'method.twoDay',
  ready_bought: 'method.bought',
} as const satisfies Record<CycleJson['method'], MessageKey>;

export const VERDICT_WORDS = {
  'as the method asks': 'cycle.verdict.good',
  departs: 'cycle.verdict.departs',
  'not enough data': 'cycle.verdict.notEnough',
  'not judged': 'cycle.verdict.notJudged',
} as const satisfies Record<CycleJson['verdict']['kind'], MessageKey>;

type Departure = CycleJson['verdict']['departures'][number];

/** What departed, why it matters, and what to do. */
export const DEPARTURE_WORDS = {
  'short hold': { what: 'cycle.departure.short', action: 'cycle.departure.short.action' },
  'too cold': { what: 'cycle.departure.cold', action: 'cycle.departure.cold.action' },
  interrupted: { what: 'cycle.departure.interrupted', action: 'cycle.departure.interrupted.action' },
  'below target': { what: 'cycle.departure.below', action: 'cycle.departure.below.action' },
  'gaps in the trace': { what: 'cycle.departure.gaps', action: 'cycle.departure.gaps.action' },
} as const satisfies Record<Departure, { what: MessageKey; action: MessageKey }>;
