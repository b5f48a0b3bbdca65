/** A list to choose one of, or any. */
export function ChoiceField(props: {
  label: string
  value: string
  any: string
  options: [value: string, word: string][]
  onValue: (value: string) => void
}) {
  return (
    <div className="field">
      <label>
        <span className="label">{props.label}</span>
        <br />
        <select value={props.value} onChange={(event) => props.onValue(event.target.value)}>
          <option value="">{props.any}</option>
          {props.options.map(([value, word]) => (
            <option key={value} value={value}>
              {word}
            </option>
          ))}
        </select>
      </label>
    </div>
  )
}
