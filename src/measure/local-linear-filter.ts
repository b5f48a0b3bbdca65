/** One reading, or a moment that is only asked about (`y` null). */
export interface TrendPoint {
  /** Days from any origin; points stand in rising order and may share a moment. */
  tDay: number
  y: number | null
  /** Variance of the reading, in units of the noise variance that the filter is scaled by. */
  noise: number
}

/** How level and slope wander, in units of the noise variance. */
export interface Wander {
  /** Variance that the level gains per day. */
  levelPerDay: number
  /** Variance that the slope gains per day, per day². */
  slopePerDay: number
}

/** Level and slope (per day) at one point, with their variances in units of the noise variance. */
export interface TrendState {
  level: number
  slope: number
  varLevel: number
  cov: number
  varSlope: number
}

export interface Filtered {
  /** After each point, from the readings up to it. */
  known: TrendState[]
  /** Before each point. */
  ahead: TrendState[]
  /** Σ v²/F of the one-step errors: over the noise variance it is about the count less two. */
  squares: number
  /** Σ ln F. */
  logF: number
}

/**
 * Nothing is known beforehand: variances so wide (in units of the noise variance) that the first readings decide alone.
 * A wider start would cost digits.
 */
const WIDE_LEVEL = 1e8
const WIDE_SLOPE = 1e6

/**
 * Kalman filter of a local linear trend on an uneven time base: level' = slope, both driven by white noise, each reading the
 * level plus noise (Harvey 1989, Forecasting, structural time series models and the Kalman filter, §2.3.2 and §9.2; in
 * continuous time the slope's noise q adds q·[t³/3, t²/2; t²/2, t]). Any unit of y; scaled by its noise variance.
 */
export function filterTrend(points: TrendPoint[], wander: Wander): Filtered {
  const known: TrendState[] = []
  const ahead: TrendState[] = []
  let squares = 0
  let logF = 0
  let state: TrendState = { level: 0, slope: 0, varLevel: WIDE_LEVEL, cov: 0, varSlope: WIDE_SLOPE }
  let last = points[0]?.tDay ?? 0
  for (const { tDay, y, noise } of points) {
    const before = moved(state, tDay - last, wander)
    last = tDay
    ahead.push(before)
    if (y === null) state = before
    else {
      const f = before.varLevel + noise
      const error = y - before.level
      squares += (error * error) / f
      logF += Math.log(f)
      state = corrected(before, error, noise)
    }
    known.push(state)
  }
  return { known, ahead, squares, logF }
}

function moved(from: TrendState, dt: number, { levelPerDay, slopePerDay }: Wander): TrendState {
  if (dt === 0) return from
  return {
    level: from.level + dt * from.slope,
    slope: from.slope,
    varLevel:
      from.varLevel +
      2 * dt * from.cov +
      dt * dt * from.varSlope +
      levelPerDay * dt +
      (slopePerDay * dt ** 3) / 3,
    cov: from.cov + dt * from.varSlope + (slopePerDay * dt * dt) / 2,
    varSlope: from.varSlope + slopePerDay * dt,
  }
}

/** The update in Joseph's form, which cannot make a variance negative. */
function corrected(p: TrendState, error: number, noise: number): TrendState {
  const f = p.varLevel + noise
  const gainLevel = p.varLevel / f
  const gainSlope = p.cov / f
  const rest = noise / f
  return {
    level: p.level + gainLevel * error,
    slope: p.slope + gainSlope * error,
    varLevel: rest * rest * p.varLevel + gainLevel * gainLevel * noise,
    cov: rest * (p.cov - gainSlope * p.varLevel) + gainLevel * gainSlope * noise,
    varSlope: p.varSlope - 2 * gainSlope * p.cov + gainSlope * gainSlope * f,
  }
}

/** What all readings together say of each point: the fixed-interval smoother of Rauch, Tung and Striebel (1965). */
export function smoothTrend(points: TrendPoint[], { known, ahead }: Filtered): TrendState[] {
  const all: TrendState[] = [...known]
  for (let i = known.length - 2; i >= 0; i--) {
    const dt = points[i + 1]!.tDay - points[i]!.tDay
    // the same moment: nothing lies between
    all[i] = dt === 0 ? all[i + 1]! : pulledBack(known[i]!, ahead[i + 1]!, all[i + 1]!, dt)
  }
  return all
}

function pulledBack(here: TrendState, next: TrendState, later: TrendState, dt: number): TrendState {
  const det = next.varLevel * next.varSlope - next.cov * next.cov
  // covariance of what is here with what comes next
  const levelLevel = here.varLevel + dt * here.cov
  const slopeLevel = here.cov + dt * here.varSlope
  const g11 = (levelLevel * next.varSlope - here.cov * next.cov) / det
  const g12 = (here.cov * next.varLevel - levelLevel * next.cov) / det
  const g21 = (slopeLevel * next.varSlope - here.varSlope * next.cov) / det
  const g22 = (here.varSlope * next.varLevel - slopeLevel * next.cov) / det
  const dl = later.level - next.level
  const ds = later.slope - next.slope
  const a = later.varLevel - next.varLevel
  const b = later.cov - next.cov
  const d = later.varSlope - next.varSlope
  return {
    level: here.level + g11 * dl + g12 * ds,
    slope: here.slope + g21 * dl + g22 * ds,
    varLevel: here.varLevel + g11 * g11 * a + 2 * g11 * g12 * b + g12 * g12 * d,
    cov: here.cov + g11 * g21 * a + (g11 * g22 + g12 * g21) * b + g12 * g22 * d,
    varSlope: here.varSlope + g21 * g21 * a + 2 * g21 * g22 * b + g22 * g22 * d,
  }
}
