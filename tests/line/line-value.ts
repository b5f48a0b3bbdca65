import values from './line-values.json' with { type: 'json' }

/** A published figure with its source; `tolerance` is absolute. */
interface LineValue<Inputs, Expected> {
  inputs: Inputs
  expected: Expected
  tolerance: number
  source: string
}

export function lineValue<Inputs, Expected>(id: string): LineValue<Inputs, Expected> {
  const value = values.find((v) => v.id === id)
  if (!value) throw new Error(`there is no check value ${id}`)
  return value as unknown as LineValue<Inputs, Expected>
}
