import type { AttenuationPoint } from './attenuation-point.ts'
import type { CableType } from './cable-type.ts'
import { lossFromConstruction } from './loss-from-construction.ts'

/** Attenuation of a type at 20 °C: a·√f + b·f with f in MHz, dB per 100 m, and how sure we are of it. */
export interface AttenuationFit {
  /** Points: fitted to tested points; declared: the works' own k1 and k2; construction: from the dimensions. */
  from: 'points' | 'declared' | 'construction'
  /** Conductor part, dB/100 m/√MHz. */
  a: number
  /** Dielectric part, dB/100 m/MHz. */
  b: number
  points: AttenuationPoint[]
  /** Largest distance of a point from the curve, per cent of the point; null without points. */
  worstPct: number | null
  /** Variances of a and b and their covariance, from the scatter of the points; null below three points. */
  covariance: { aa: number; ab: number; bb: number } | null
}

/**
 * Non-negative least squares of a·√f + b·f, each point weighted by 1/value², since tested points are right to a share of
 * themselves and span two decades. Two unknowns: the free solution where both are positive, else the better of the
 * two with one of them nought (Lawson and Hanson, Solving Least Squares Problems, ch. 23, for two columns).
 */
export function fitAttenuation(points: AttenuationPoint[]): AttenuationFit | null {
  if (points.length === 0) return null
  const { ss, sf, ff, sy, fy } = normalSums(points)
  const determinant = ss * ff - sf * sf
  const free =
    determinant > 1e-12 * ss * ff
      ? { a: (sy * ff - fy * sf) / determinant, b: (fy * ss - sy * sf) / determinant }
      : null
  const inside = free !== null && free.a >= 0 && free.b >= 0
  const { a, b } = inside && free ? free : edgeSolution(points, sy / ss, fy / ff)
  const residuals = points.map((p) => (a * Math.sqrt(p.fMhz) + b * p.fMhz) / p.attDbPer100m - 1)
  const squares = residuals.reduce((sum, r) => sum + r * r, 0)
  return {
    from: 'points',
    a,
    b,
    points,
    worstPct: 100 * Math.max(...residuals.map(Math.abs)),
    covariance: inside
      ? freeCovariance(points.length, squares, { ss, sf, ff, determinant })
      : edgeCovariance(points.length, squares, a > 0 ? { ss, ff: 0 } : { ss: 0, ff }),
  }
}

function normalSums(points: AttenuationPoint[]) {
  const sums = { ss: 0, sf: 0, ff: 0, sy: 0, fy: 0 }
  for (const { fMhz, attDbPer100m } of points) {
    const root = Math.sqrt(fMhz) / attDbPer100m
    const line = fMhz / attDbPer100m
    sums.ss += root * root
    sums.sf += root * line
    sums.ff += line * line
    sums.sy += root
    sums.fy += line
  }
  return sums
}

function edgeSolution(points: AttenuationPoint[], aAlone: number, bAlone: number) {
  const error = (a: number, b: number) =>
    points.reduce((sum, p) => sum + ((a * Math.sqrt(p.fMhz) + b * p.fMhz) / p.attDbPer100m - 1) ** 2, 0)
  return error(aAlone, 0) <= error(0, bAlone) ? { a: aAlone, b: 0 } : { a: 0, b: bAlone }
}

/** s²·(XᵀX)⁻¹ with s² from n − 2 degrees of freedom; two points leave none, so nothing is known of their scatter. */
function freeCovariance(
  count: number,
  squares: number,
  { ss, sf, ff, determinant }: { ss: number; sf: number; ff: number; determinant: number },
): AttenuationFit['covariance'] {
  if (count < 3) return null
  const variance = squares / (count - 2)
  return {
    aa: (variance * ff) / determinant,
    ab: (-variance * sf) / determinant,
    bb: (variance * ss) / determinant,
  }
}

/** The same with one part held at nought: n − 1 degrees of freedom, no covariance. */
function edgeCovariance(
  count: number,
  squares: number,
  { ss, ff }: { ss: number; ff: number },
): AttenuationFit['covariance'] {
  if (count < 3) return null
  const variance = squares / (count - 1)
  return { aa: ss > 0 ? variance / ss : 0, ab: 0, bb: ff > 0 ? variance / ff : 0 }
}

/** Attenuation of the curve, dB/100 m at 20 °C. */
export function attenuationDbPer100m(fit: Pick<AttenuationFit, 'a' | 'b'>, fMhz: number): number {
  return fit.a * Math.sqrt(fMhz) + fit.b * fMhz
}

/** Standard uncertainty of the curve at a frequency from the scatter of its points, dB/100 m; null where it is not known. */
export function fitUncertaintyDbPer100m(fit: AttenuationFit, fMhz: number): number | null {
  if (!fit.covariance) return null
  const { aa, ab, bb } = fit.covariance
  const variance = aa * fMhz + 2 * ab * fMhz ** 1.5 + bb * fMhz * fMhz
  return Math.sqrt(Math.max(0, variance))
}

/** The curve of a type: from its tested points where there are at least two, else the declared constants, else the construction. */
export function attenuationOf(cable: CableType, all: AttenuationPoint[]): AttenuationFit | null {
  const points = all.filter((point) => point.cable === cable.cable).sort((p, q) => p.fMhz - q.fMhz)
  if (points.length >= 2) return fitAttenuation(points)
  const { attK1DbPer100mPerSqrtMhz: k1, attK2DbPer100mPerMhz: k2 } = cable
  if (k1 > 0) return { from: 'declared', a: k1, b: k2, points, worstPct: null, covariance: null }
  const loss = lossFromConstruction(cable, cable.z0CalcOhm)
  if (!loss) return null
  return {
    from: 'construction',
    a: loss.k1DbPer100mPerSqrtMhz,
    b: loss.k2DbPer100mPerMhz,
    points,
    worstPct: null,
    covariance: null,
  }
}
