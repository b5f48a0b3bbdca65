import values from './check-values.json' with { type: 'json' }

/** A published figure with its source; `tolerance` is absolute. */
export interface CheckValue<Inputs, Expected> {
  id: string
  inputs: Inputs
  expected: Expected
  tolerance: number
  source: string
}

export function checkValue<Inputs, Expected>(id: string): CheckValue<Inputs, Expected> {
  const value = values.find((v) => v.id === id)
  if (!value) throw new Error(`there is no check value ${id}`)
  return value as unknown as CheckValue<Inputs, Expected>
}
