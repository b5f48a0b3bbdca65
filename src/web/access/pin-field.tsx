interface PinFieldProps {
  id: string
  label: string
  pin: string
  required: boolean
  onPin: (pin: string) => void
}

export function PinField({ id, label, pin, required, onPin }: PinFieldProps) {
  return (
    <div className="field">
      <label htmlFor={id}>{label}</label>
      <input
        id={id}
        type="password"
        inputMode="numeric"
        pattern="[0-9]{6,12}"
        maxLength={12}
        required={required}
        autoComplete="new-password"
        value={pin}
        onChange={(event) => onPin(event.target.value.replace(/\D/g, ''))}
      />
    </div>
  )
}
