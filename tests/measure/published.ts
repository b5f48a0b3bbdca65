import values from './measure-values.json' with { type: 'json' }

/** A published figure with its source; the tolerance is absolute and holds for every number expected. */
export interface Published<Inputs, Expected> {
  id: string
  inputs: Inputs
  expected: Expected
  tolerance: number
  source: string
}

export function published<Inputs, Expected>(id: string): Published<Inputs, Expected> {
  const value = values.find((v) => v.id === id)
  if (!value) throw new Error(`there is no check value ${id}`)
  return value as unknown as Published<Inputs, Expected>
}

/** All whose id begins so. */
export function publishedAll<Inputs, Expected>(prefix: string): Published<Inputs, Expected>[] {
  return values.filter((v) => v.id.startsWith(prefix)) as unknown as Published<Inputs, Expected>[]
}
