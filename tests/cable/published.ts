import values from './cable-values.json' with { type: 'json' }

/** A published figure of cable-values.json with its source; `tolerance` is absolute. */
export function published<Inputs, Expected>(id: string) {
  const value = values.find((v) => v.id === id)
  if (!value) throw new Error(`there is no check value ${id}`)
  return value as unknown as {
    id: string
    inputs: Inputs
    expected: Expected
    tolerance: number
    source: string
  }
}

export const publishedIds = (start: string): string[] =>
  values.map((v) => v.id).filter((id) => id.startsWith(start))
