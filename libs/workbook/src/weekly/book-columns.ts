import { type FileUnits, smallMass, smallMassUnit } from '@jarfold/domain';
import type { DraftColumn } from '../writing/sheet-draft.js';

const DAY_FORMATS = { iso: 'yyyy-mm-dd', 'day-first': 'dd.mm.yyyy', 'month-first': 'mm/dd/yyyy' } as const;

/** Days as the grower writes them; the cell holds a date whatever it shows. */
export const dayFormat = ({ dayStyle }: FileUnits): string => DAY_FORMATS[dayStyle];

export const text = (header: string, width: number, more: Partial<DraftColumn> = {}): DraftColumn => ({
  ...{ header, width, format: '@', wrap: true },
  ...more,
});
export const dayColumn = (header: string, units: FileUnits, more: Partial<DraftColumn> = {}): DraftColumn => ({
  ...{ header, width: 13, format: dayFormat(units) },
  ...more,
});
export const countColumn = (header: string, more: Partial<DraftColumn> = {}): DraftColumn => ({
  ...{ header, width: 10, format: '0' },
  ...more,
});
export const massColumn = (what: string, units: FileUnits, more: Partial<DraftColumn> = {}): DraftColumn => ({
  ...{ header: `${what} ${smallMassUnit(units)}`, width: 11, format: units.massUnit === 'us' ? '#,##0.00' : '#,##0' },
  ...more,
});
export const shownMass = smallMass;
