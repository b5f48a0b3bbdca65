import { useId, useState } from 'react'
import { useScan } from './use-scan.ts'

interface Props {
  label: string
  /** What the button beside it does with what was typed. */
  word: string
  onCode: (code: string) => void
}

/** Takes a code typed here, or scanned wherever the focus stands: a scan never falls into another field. */
export function ScanField({ label, word, onCode }: Props) {
  const [typed, setTyped] = useState('')
  const id = useId()
  useScan(onCode)
  return (
    <form
      className="row scan-row"
      onSubmit={(event) => {
        event.preventDefault()
        if (typed.trim() === '') return
        onCode(typed.trim())
        setTyped('')
      }}
    >
      <div className="field">
        <label htmlFor={id}>{label}</label>
        <input
          id={id}
          value={typed}
          maxLength={64}
          autoComplete="off"
          autoCapitalize="off"
          spellCheck={false}
          onChange={(event) => setTyped(event.target.value)}
        />
      </div>
      <button type="submit" className="button">
        {word}
      </button>
    </form>
  )
}
