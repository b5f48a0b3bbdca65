/**
 * Kaiser's window I0(β·√(1 − x²))/I0(β) over a band (J. F. Kaiser and R. W. Schafer, IEEE Trans. ASSP 28 (1980) 105-107). β = 6 holds the side lobes
 * 44 dB below the main lobe, the customary middle choice of network analysers.
 */
export const KAISER_BETA = 6

export function kaiserWindow(count: number, beta = KAISER_BETA): Float64Array {
  const window = new Float64Array(count)
  const whole = besselI0(beta)
  for (let k = 0; k < count; k++) {
    const x = count === 1 ? 0 : (2 * k) / (count - 1) - 1
    window[k] = besselI0(beta * Math.sqrt(Math.max(0, 1 - x * x))) / whole
  }
  return window
}

/** Modified Bessel function of order nought, by its power series (Abramowitz and Stegun 9.6.12). */
function besselI0(x: number): number {
  const quarter = (x * x) / 4
  let term = 1
  let sum = 1
  for (let k = 1; term > sum * 1e-17; k++) {
    term *= quarter / (k * k)
    sum += term
  }
  return sum
}

/**
 * Width at half height of the window's transform, times the band: Δt·B. The transform is sinh(u)/u with u = √(β² − (πBt)²);
 * for β = 6 it is 1.95. Two bumps nearer than this stand as one.
 */
export function halfHeightWidth(beta = KAISER_BETA): number {
  const value = (x: number) => {
    const square = beta * beta - (Math.PI * x) ** 2
    const u = Math.sqrt(Math.abs(square))
    return square > 0 ? Math.sinh(u) / u : u === 0 ? 1 : Math.sin(u) / u
  }
  const half = value(0) / 2
  let low = 0
  let high = Math.sqrt(beta * beta + Math.PI * Math.PI) / Math.PI
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2
    if (value(middle) > half) low = middle
    else high = middle
  }
  return 2 * low
}
