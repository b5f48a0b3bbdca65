import { useId } from 'react'

/** A list to choose exactly one of. */
export function SelectField<V extends string>(props: {
  label: string
  value: V
  options: readonly (readonly [value: V, word: string])[]
  onValue: (value: V) => void
}) {
  const id = useId()
  return (
    <div className="field">
      <label htmlFor={id}>{props.label}</label>
      <select id={id} value={props.value} onChange={(event) => props.onValue(event.target.value as V)}>
        {props.options.map(([value, word]) => (
          <option key={value} value={value}>
            {word}
          </option>
        ))}
      </select>
    </div>
  )
}
