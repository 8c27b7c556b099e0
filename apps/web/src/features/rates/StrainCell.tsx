import { Tape } from '../../ui/Tape.js';

/** The strain a row is about: its code on tape, then its name. */
export function StrainCell({ strainCode, strainName }: { readonly strainCode: string; readonly strainName: string }) {
  return (
    <>
      <Tape>{strainCode}</Tape> {strainName}
    </>
  );
}
