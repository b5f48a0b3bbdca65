/** Measured or computed scattering parameters of a lead over frequency. */
export interface Sweep {
  ports: 1 | 2
  /** Rising, Hz. */
  fHz: Float64Array
  /** For each frequency row by row, real and imaginary: S11 alone, or S11 S12 S21 S22. Not measured: NaN. */
  s: Float64Array
  /** Reference impedance of each port, ohm. */
  zRefOhm: number[]
}

export type SweepParameter = 'S11' | 'S12' | 'S21' | 'S22'

const PLACE: Record<SweepParameter, number> = { S11: 0, S12: 2, S21: 4, S22: 6 }

/** Numbers for one frequency in `s`. */
export const widthOf = (sweep: Pick<Sweep, 'ports'>): 2 | 8 => (sweep.ports === 1 ? 2 : 8)

/** True where the parameter was measured at every frequency. */
export function hasParameter(sweep: Sweep, parameter: SweepParameter): boolean {
  if (sweep.ports === 1 && parameter !== 'S11') return false
  const width = widthOf(sweep)
  for (let i = PLACE[parameter]; i < sweep.s.length; i += width)
    if (Number.isNaN(sweep.s[i]!) || Number.isNaN(sweep.s[i + 1]!)) return false
  return sweep.fHz.length > 0
}

/** One parameter over frequency, real and imaginary in turn. */
export function column(sweep: Sweep, parameter: SweepParameter): Float64Array {
  const width = widthOf(sweep)
  const out = new Float64Array(2 * sweep.fHz.length)
  for (let i = 0; i < sweep.fHz.length; i++) {
    out[2 * i] = sweep.s[i * width + PLACE[parameter]]!
    out[2 * i + 1] = sweep.s[i * width + PLACE[parameter] + 1]!
  }
  return out
}

/** The sizes of one parameter over frequency. */
export function magnitudes(sweep: Sweep, parameter: SweepParameter): Float64Array {
  const width = widthOf(sweep)
  const out = new Float64Array(sweep.fHz.length)
  for (let i = 0; i < out.length; i++) {
    const at = i * width + PLACE[parameter]
    // many times as fast as Math.hypot, and nothing here is near the ends of the number range
    out[i] = Math.sqrt(sweep.s[at]! ** 2 + sweep.s[at + 1]! ** 2)
  }
  return out
}

/** The same lead seen from its other end. */
export function turnedRound(sweep: Sweep): Sweep {
  if (sweep.ports === 1) return sweep
  const s = new Float64Array(sweep.s.length)
  for (let i = 0; i < s.length; i += 8)
    for (let k = 0; k < 8; k += 2) {
      s[i + k] = sweep.s[i + 6 - k]!
      s[i + k + 1] = sweep.s[i + 7 - k]!
    }
  return { ...sweep, s, zRefOhm: [...sweep.zRefOhm].reverse() }
}
