import { fractionToPercent, gramsToKilograms, kilopascalsToPsi, millilitresToLitres } from '@jarfold/domain';
import { locale, t } from '../../messages/translate.js';

const whole = new Intl.NumberFormat(locale, { maximumFractionDigits: 0 });
const tenths = new Intl.NumberFormat(locale, { maximumFractionDigits: 1 });
const hundredths = new Intl.NumberFormat(locale, { maximumFractionDigits: 2 });

const GRAMS_SHOWN_IN_KILOGRAMS = 1000;
const MILLILITRES_SHOWN_IN_LITRES = 1000;

export const formatCount = (count: number): string => whole.format(count);

/** Grams below a kilogram as `240 g`, from a kilogram on as `1.25 kg`, from a hundred as `140 kg`. */
export function formatMass(massG: number): string {
  if (Math.abs(massG) < GRAMS_SHOWN_IN_KILOGRAMS) return t('format.grams', { mass: whole.format(massG) });
  const massKg = gramsToKilograms(massG);
  return t('format.kilograms', { mass: (Math.abs(massKg) < 10 ? hundredths : tenths).format(massKg) });
}

/** `500 ml`, `1.5 L`. */
export function formatVolume(volumeMl: number): string {
  return volumeMl < MILLILITRES_SHOWN_IN_LITRES
    ? t('format.millilitres', { volume: whole.format(volumeMl) })
    : t('format.litres', { volume: hundredths.format(millilitresToLitres(volumeMl)) });
}

/** A share from 0 to 1 as `12 %`. */
export const formatShare = (share: number): string =>
  t('format.percent', { percent: tenths.format(fractionToPercent(share)) });

/** A small share, such as a risk per day, as `0.04 %`. */
export const formatSmallShare = (share: number): string =>
  t('format.percent', { percent: hundredths.format(fractionToPercent(share)) });

/** `24 °C`. */
export const formatTemperature = (temperatureC: number): string =>
  t('format.celsius', { degrees: tenths.format(temperatureC) });

/** `45 min`, `1 h 30 min`. */
export function formatDuration(durationMin: number): string {
  const hours = Math.floor(durationMin / 60);
  const minutes = Math.round(durationMin - hours * 60);
  if (hours === 0) return t('format.minutes', { minutes });
  return minutes === 0 ? t('format.hours', { hours }) : t('format.hoursMinutes', { hours, minutes });
}

/** A gauge's reading as `104 kPa (15.1 psi)`: gauges are marked in one or the other. */
export const formatPressure = (pressureKpa: number): string =>
  t('format.pressure', { kilopascals: whole.format(pressureKpa), psi: tenths.format(kilopascalsToPsi(pressureKpa)) });

/** Days and the like, to a tenth. */
export const formatTenths = (value: number): string => tenths.format(value);

/** A plain number with at most two decimals, for money and rates whose unit stands beside it. */
export const formatNumber = (value: number): string => hundredths.format(value);
