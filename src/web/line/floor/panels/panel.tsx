import { type ReactNode, useEffect, useRef } from 'react'
import { figureTyped } from '../../../parts/figure-text.ts'

interface Props {
  name: string
  question: string
  onClose: () => void
  children: ReactNode
}

/** One question of the line, above its buttons; Escape puts it away. The focus goes to its first control and back. */
export function Panel({ name, question, onClose, children }: Props) {
  const box = useRef<HTMLElement>(null)
  useEffect(() => {
    const before = document.activeElement
    const first = box.current?.querySelector<HTMLElement>('input, select, .hand')
    const control = first ?? box.current?.querySelector<HTMLElement>('button')
    // the panel stands in sight already, and the cut in hand above it must not scroll away
    control?.focus({ preventScroll: true })
    return () => {
      if (before instanceof HTMLElement) before.focus({ preventScroll: true })
    }
  }, [])
  return (
    <section
      className="floor-panel"
      aria-label={name}
      ref={box}
      onKeyDown={(event) => {
        if (event.key !== 'Escape') return
        event.stopPropagation()
        onClose()
      }}
    >
      <div className="row">
        <h2 className="grow wraps">{question}</h2>
        <button type="button" className="button back" onClick={onClose}>
          Back <span className="hand-key">Esc</span>
        </button>
      </div>
      {children}
    </section>
  )
}

/** The fields of a panel in one row; Enter in a field does what its first button does. */
export function PanelForm({ onEnter, children }: { onEnter: () => void; children: ReactNode }) {
  return (
    <form
      className="row"
      onSubmit={(event) => {
        event.preventDefault()
        onEnter()
      }}
    >
      {children}
      {/* a form of several fields takes Enter only where it has such a button */}
      <button type="submit" className="spoken" tabIndex={-1}>
        Enter
      </button>
    </form>
  )
}

interface FieldProps {
  id: string
  label: string
  value: string
  placeholder?: string
  text?: boolean
  onType: (value: string) => void
}

export function PanelField({ id, label, value, placeholder, text, onType }: FieldProps) {
  return (
    <div className="field">
      <label htmlFor={id}>{label}</label>
      <input
        id={id}
        value={value}
        placeholder={placeholder}
        inputMode={text ? 'text' : 'decimal'}
        autoComplete="off"
        spellCheck={false}
        maxLength={text ? 80 : 14}
        onChange={({ target }) => onType(text ? target.value : figureTyped(value, target.value))}
      />
    </div>
  )
}
