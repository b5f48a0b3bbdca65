import { column, type Sweep } from './sweep.ts'

/**
 * Delay from the slope of the transmission's phase, s: least squares of the unwrapped phase over frequency. null where
 * a step turns the phase by more than half a turn, so that turns cannot be counted.
 */
export function delayOf(sweep: Sweep): number | null {
  const values = column(sweep, 'S21')
  const count = sweep.fHz.length
  if (count < 3) return null
  const phase = new Float64Array(count)
  let before = Math.atan2(values[1]!, values[0]!)
  let steepest = 0
  for (let i = 1; i < count; i++) {
    const raw = Math.atan2(values[2 * i + 1]!, values[2 * i]!)
    const step = raw - before - 2 * Math.PI * Math.round((raw - before) / (2 * Math.PI))
    // a line only ever turns one way
    if (step > 0.5) return null
    steepest = Math.max(steepest, -step)
    phase[i] = phase[i - 1]! + step
    before = raw
  }
  // near half a turn a step may as well be a whole one more
  if (steepest > 0.9 * Math.PI) return null
  return -slope(sweep.fHz, phase) / (2 * Math.PI)
}

function slope(x: Float64Array, y: Float64Array): number {
  const count = x.length
  const meanX = x.reduce((sum, value) => sum + value, 0) / count
  const meanY = y.reduce((sum, value) => sum + value, 0) / count
  let xx = 0
  let xy = 0
  for (let i = 0; i < count; i++) {
    xx += (x[i]! - meanX) ** 2
    xy += (x[i]! - meanX) * (y[i]! - meanY)
  }
  return xy / xx
}
