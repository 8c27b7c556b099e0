import type { Jar, JarDetail, StockRow } from '@jarfold/contracts';
import { type CalendarDay, daysBetween, type StockRow as StockRowValues, storageLife } from '@jarfold/domain';
import { type FarmNames, placeOf } from './farm-names.js';
import { isOnHand, type JarRow } from './jar-row.js';

export function stockRowJson(row: StockRowValues, names: Pick<FarmNames, 'strains'>): StockRow {
  const strain = names.strains.get(row.strainId)!;
  return {
    ...row,
    strainCode: strain.code,
    strainName: strain.name,
    ages: row.ages.map((band) => ({ ...band })),
    freshness: { ...row.freshness },
  };
}

export function jarJson(jar: JarRow, names: FarmNames, asOf: CalendarDay): Jar {
  const strain = names.strains.get(jar.strainId)!;
  const { lotId: _lotId, warmedOn: _warmedOn, shelfId: _shelfId, row: _row, place: _place, ...shown } = jar;
  return {
    ...shown,
    strainCode: strain.code,
    strainName: strain.name,
    sizeName: names.sizes.get(jar.sizeId)!.name,
    place: placeOf(names, jar),
    ageDays: daysBetween(jar.madeOn, asOf),
    ...lifeJson(jar, names, asOf),
  };
}

function lifeJson(
  jar: JarRow,
  names: FarmNames,
  asOf: CalendarDay,
): Pick<Jar, 'ripeOn' | 'ripeExpected' | 'expiresOn' | 'daysLeft' | 'freshness'> {
  const { state } = jar;
  if (!isOnHand(state)) {
    return { ripeOn: jar.ripeOn, ripeExpected: false, expiresOn: null, daysLeft: null, freshness: 'none' };
  }
  return storageLife({ ...jar, state }, names.rules.get(jar.strainId)!, asOf);
}

export function relativeJson({ id, code, generation, state, madeOn }: JarRow): JarDetail['mothers'][number] {
  return { jarId: id, code, generation, state, madeOn };
}
