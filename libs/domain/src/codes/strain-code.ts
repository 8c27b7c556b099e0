import { DomainError } from '../errors.js';

declare const strainCodeBrand: unique symbol;

/** A strain's short code: two to four letters and up to three digits, such as `OY3`. Upper case. */
export type StrainCode = string & { readonly [strainCodeBrand]: true };

export type StrainCodeProblem = 'shape' | 'month' | 'money' | 'word';

const SHAPE = /^([A-Z]{2,4})([0-9]{0,3})$/;

/**
 * Month names and their short forms, up to four letters without accents, in the languages spreadsheets read them:
 * `MAR1` typed or imported becomes 1 March. English, German, French, Spanish, Italian, Portuguese, Dutch, Polish,
 * Czech, Scandinavian, Turkish, Romanian, Finnish, Hungarian.
 */
const MONTHS = new Set(
  (
    'JAN FEB MAR APR MAY JUN JUL AUG SEP SEPT OCT NOV DEC JUNE JULY MARZ MRZ MAI JUNI JULI OKT DEZ JANV FEVR FEV MARS ' +
    'AVR JUIN JUIL AOUT AOU ENE ABR AGO DIC GEN MAG GIU LUG SET OTT OUT MRT MEI STY LUT KWI MAJ CZE LIP SIE WRZ PAZ ' +
    'LIS GRU LED UNO BRE DUB KVE CVN CVC SRP ZAR RIJ PRO MAJ DES OCA SUB MART NIS HAZ TEM AGU EYL EKI KAS ARA IAN ' +
    'IUN IUL NOI TAM HEL MAA HUH TOU KES HEI ELO SYY LOK JOU FEBR APRI SZE OKTO DECE MAGG AGOS ENER ABRI MAYO ' +
    'MAIO LUTY UNOR ZARI OCAK EKIM KESA SYYS LOKA MARC'
  ).split(' '),
);

/** Currency marks that a spreadsheet of some country takes for money when digits follow: `RM5`, `CHF10`. */
const MONEY = new Set(
  'EUR USD GBP CHF JPY CNY INR AUD CAD NZD ZAR SEK NOK DKK PLN CZK HUF RON TRY BRL MXN KR RM RP RS TL KC FT LEI ZL FR US HK NT'.split(
    ' ',
  ),
);

/** Words that programs take for a truth value or a missing one. */
const WORDS = new Set(
  'TRUE FALSE WAHR VRAI FAUX VERO NA NAN NULL NONE NIL INF YES NO ON OFF ERR REF NAME AM PM DIV NUM'.split(' '),
);

const advice: Readonly<Record<StrainCodeProblem, string>> = {
  shape: 'use two to four letters and up to three digits, for example OY3',
  month: 'a spreadsheet would turn it into a date; choose other letters',
  money: 'a spreadsheet would turn it into an amount of money; choose other letters',
  word: 'programs read it as a truth value or a missing one; choose other letters',
};

/** What is wrong with a short code, or null when it is good. Upper and lower case are the same. */
export function strainCodeProblem(text: string): StrainCodeProblem | null {
  const letters = SHAPE.exec(text.trim().toUpperCase())?.[1];
  if (letters === undefined) return 'shape';
  if (MONTHS.has(letters)) return 'month';
  if (MONEY.has(letters)) return 'money';
  return WORDS.has(letters) ? 'word' : null;
}

/**
 * Reads a strain's short code that is safe in any spreadsheet: never a number, a date, money or a truth value.
 * @throws DomainError `not-a-strain-code` with `problem` and what to do.
 * @example strainCode('oy3') // 'OY3'
 */
export function strainCode(text: string): StrainCode {
  const problem = strainCodeProblem(text);
  if (problem)
    throw new DomainError('not-a-strain-code', `"${text}" cannot be a strain's short code: ${advice[problem]}.`, {
      value: text,
      problem,
    });
  return text.trim().toUpperCase() as StrainCode;
}
