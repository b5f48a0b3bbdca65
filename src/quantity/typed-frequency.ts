const MHZ = { hz: 1e-6, khz: 1e-3, mhz: 1, ghz: 1_000 } as const

/** Reads `144MHz`, `2.4 GHz`, `500 kHz` as MHz; answers in words what is wrong where it cannot. A frequency without its unit is none. */
export function typedFrequencyMhz(text: string): { fMhz: number } | { wrong: string } {
  const match = /^(\d{1,9}(?:\.\d{1,9})?)\s*(hz|khz|mhz|ghz)$/i.exec(text.trim())
  if (!match)
    return { wrong: 'Write a frequency with a decimal point and its unit, such as 144MHz or 2.4GHz.' }
  const [, figure = '', unit = ''] = match
  const fMhz = Number(figure) * MHZ[unit.toLowerCase() as keyof typeof MHZ]
  if (!(fMhz > 0)) return { wrong: 'A frequency must be above 0.' }
  return { fMhz }
}
