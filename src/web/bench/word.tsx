import { useId } from 'react'

interface WordProps {
  /** What it is, for who does not see the sentence around it. */
  label: string
  value: string
  onValue: (value: string) => void
}

/** A word of a sentence that can be written over; as wide as what stands in it. */
export function TypedWord({
  label,
  value,
  onValue,
  wrong,
  list,
  placeholder = '',
}: WordProps & { wrong: string | null; list?: string; placeholder?: string }) {
  const id = useId()
  return (
    <span className="word">
      <input
        className="word-input"
        aria-label={label}
        aria-invalid={wrong !== null}
        aria-describedby={wrong === null ? undefined : id}
        value={value}
        list={list}
        placeholder={placeholder}
        spellCheck={false}
        autoComplete="off"
        style={{ width: `${Math.min(36, Math.max(4, (value || placeholder).length + (list ? 4 : 1.5)))}ch` }}
        onChange={(event) => onValue(event.target.value)}
      />
      {wrong !== null && (
        <span className="spoken" id={id}>
          {wrong}
        </span>
      )}
    </span>
  )
}

/** A word of a sentence that can be exchanged for another. */
export function ChosenWord({ label, value, onValue, options }: WordProps & { options: [string, string][] }) {
  return (
    <span className="word">
      <select
        className="word-input"
        aria-label={label}
        value={value}
        onChange={(event) => onValue(event.target.value)}
      >
        {options.map(([key, word]) => (
          <option key={key} value={key}>
            {word}
          </option>
        ))}
      </select>
    </span>
  )
}
