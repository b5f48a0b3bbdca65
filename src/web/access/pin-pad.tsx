const DIGITS = ['1', '2', '3', '4', '5', '6', '7', '8', '9'] as const

/** Keys of at least 20 mm for a gloved hand; the keyboard types into the field beside it. */
export function PinPad({ onDigit, onBack }: { onDigit: (digit: string) => void; onBack: () => void }) {
  const key = (digit: string) => (
    <button key={digit} type="button" className="button pin-key" onClick={() => onDigit(digit)}>
      {digit}
    </button>
  )
  return (
    // biome-ignore lint/a11y/useSemanticElements: a fieldset would ask for a legend that says nothing more
    <div className="pin-pad" role="group" aria-label="PIN pad">
      {DIGITS.map(key)}
      <button type="button" className="button pin-key pin-back" onClick={onBack}>
        Take back
      </button>
      {key('0')}
    </div>
  )
}
