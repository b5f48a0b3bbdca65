import { type FormEvent, useState } from 'react'
import type { OrderLine } from '../../order/order-line.ts'
import type { PlanInput } from '../../plan/plan-input.ts'
import { lineKey } from '../orders/order-answer.ts'
import { wantedText } from '../orders/wanted-text.ts'
import { ChoiceField } from '../parts/choice-field.tsx'
import type { Trial } from './trial.ts'

const FIELDS = [
  { name: 'order', label: 'Number of the new order', type: 'text' },
  { name: 'qty', label: 'Pieces', type: 'number' },
  { name: 'length', label: 'Length of one', type: 'text' },
  { name: 'dueDate', label: 'Due', type: 'date' },
  { name: 'priceEur', label: 'Price of the line, EUR', type: 'number' },
] as const

type Typed = Record<(typeof FIELDS)[number]['name'], string>
const EMPTY: Typed = { order: '', qty: '', length: '', dueDate: '', priceEur: '' }

/** An order line like one that is there: cable, put-up, connectors and rules are taken from it. */
export function AddOrderForm({ input, trial }: { input: PlanInput; trial: Trial }) {
  const [open, setOpen] = useState(false)
  const [likeKey, setLikeKey] = useState('')
  const [typed, setTyped] = useState<Typed>(EMPTY)
  const like = input.orders.find((o) => lineKey(o) === likeKey)

  function choose(key: string) {
    setLikeKey(key)
    const line = input.orders.find((o) => lineKey(o) === key)
    if (line) setTyped({ ...typedFrom(line), order: typed.order })
  }

  function submit(event: FormEvent) {
    event.preventDefault()
    if (!like) return
    trial.add({
      kind: 'add',
      like: { order: like.order, orderLine: like.line },
      order: typed.order.trim(),
      qty: Number(typed.qty),
      length: typed.length.trim(),
      dueDate: typed.dueDate,
      priceEur: Number(typed.priceEur),
    })
    setOpen(false)
  }

  if (!open)
    return (
      <button type="button" className="button low" onClick={() => setOpen(true)}>
        Add an order …
      </button>
    )
  return (
    <form className="add-order" onSubmit={submit} aria-label="Add an order">
      <ChoiceField
        label="Like"
        value={likeKey}
        any="Choose an order line"
        options={input.orders.map((o): [string, string] => [lineKey(o), `${lineKey(o)} · ${wantedText(o)}`])}
        onValue={choose}
      />
      {FIELDS.map((field) => (
        <TypedField
          key={field.name}
          {...field}
          unit={field.name === 'length' && like ? `, ${like.unit}` : ''}
          value={typed[field.name]}
          onValue={(value) => setTyped({ ...typed, [field.name]: value })}
        />
      ))}
      <div className="row">
        <button type="submit" className="button" aria-disabled={!like}>
          Add it to the changes
        </button>
        <button type="button" className="link-button" onClick={() => setOpen(false)}>
          Not now
        </button>
      </div>
    </form>
  )
}

function typedFrom(line: OrderLine): Typed {
  return {
    order: '',
    qty: String(line.qty),
    length: line.lengthTyped,
    dueDate: line.dueDate,
    priceEur: String(line.priceEur),
  }
}

interface FieldProps {
  name: string
  label: string
  type: string
  unit: string
  value: string
  onValue: (value: string) => void
}

function TypedField({ name, label, type, unit, value, onValue }: FieldProps) {
  const number = type === 'number' ? { min: name === 'qty' ? 1 : 0 } : {}
  return (
    <div className="field">
      <label>
        <span className="label">
          {label}
          {unit}
        </span>
        <br />
        <input
          type={type}
          value={value}
          required
          {...number}
          {...(name === 'priceEur' ? { step: '0.01' } : {})}
          onChange={(event) => onValue(event.target.value)}
        />
      </label>
    </div>
  )
}
