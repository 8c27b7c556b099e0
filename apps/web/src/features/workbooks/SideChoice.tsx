import { useId } from 'react';

/** So that a group of choices can be told apart by those who hear it. */
export function SideChoice<Value extends string>({
  legend,
  value,
  options,
  onChange,
}: {
  readonly legend: string;
  readonly value: Value;
  readonly options: readonly (readonly [Value, string])[];
  readonly onChange: (value: Value) => void;
}) {
  const name = useId();
  return (
    <fieldset className="side-choice">
      <legend className="visually-hidden">{legend}</legend>
      {options.map(([option, label]) => (
        <label key={option}>
          <input type="radio" name={name} checked={value === option} onChange={() => onChange(option)} />
          <span>{label}</span>
        </label>
      ))}
    </fieldset>
  );
}
