import { useId } from 'react'

interface Props {
  label: string
  value: string
  onValue: (value: string) => void
  hint?: string
  /** What is wrong with it, in words. */
  wrong?: string | null
  decimal?: boolean
  options?: readonly string[]
}

/** One line of text with its label, a hint, and what is wrong with it. */
export function TextField({ label, value, onValue, hint, wrong, decimal, options }: Props) {
  const id = useId()
  return (
    <div className="field">
      <label htmlFor={id}>{label}</label>
      <input
        id={id}
        value={value}
        maxLength={200}
        autoComplete="off"
        spellCheck={false}
        inputMode={decimal ? 'decimal' : 'text'}
        list={options ? `${id}-list` : undefined}
        aria-invalid={wrong ? true : undefined}
        aria-describedby={hint || wrong ? `${id}-hint` : undefined}
        onChange={(event) => onValue(event.target.value)}
      />
      {options && (
        <datalist id={`${id}-list`}>
          {options.map((option) => (
            <option key={option} value={option} />
          ))}
        </datalist>
      )}
      {(hint || wrong) && (
        <span id={`${id}-hint`} className={wrong ? 'small wrong' : 'small quiet'}>
          {wrong ?? hint}
        </span>
      )}
    </div>
  )
}
