import type { CheckValue } from '../data/check-value.ts'
import values from './putup-values.json' with { type: 'json' }

/** A published figure of this room with its source; `tolerance` is absolute. */
export function putupValue<Inputs, Expected>(id: string): CheckValue<Inputs, Expected> {
  const value = values.find((v) => v.id === id)
  if (!value) throw new Error(`there is no check value ${id}`)
  return value as unknown as CheckValue<Inputs, Expected>
}
