/** A tested point of power; null where that frequency was not tested for it. */
export interface PowerPoint {
  fMhz: number
  powerMaxW: number | null
}

/** Mean power that a part may carry, and how it was found. */
export interface PowerLimit {
  powerW: number
  /** True below the lowest tested point: the limit is at least this. */
  atLeast: boolean
}

/** Ambient of the tested power points, °C (works folder contract). */
export const POWER_AMBIENT_C = 40

/**
 * Temperature that no part of a polyethylene cable may exceed, °C. Common practice of the trade: PE softens about 90 °C;
 * a default that the works may set lower.
 */
export const HOTTEST_C = 80

/**
 * Power at a frequency from the tested points, in still air: straight between points in log power over log frequency, since
 * power falls as attenuation rises; above 40 °C in proportion to the warming that is left up to 80 °C, below 40 °C not raised;
 * divided by the standing-wave ratio, a first cut of the trade for the hottest place. null above the last point or without points.
 */
export function powerLimit(
  points: PowerPoint[],
  fMhz: number,
  ambientC: number,
  vswr: number,
): PowerLimit | null {
  const tested = points
    .filter((p): p is PowerPoint & { powerMaxW: number } => p.powerMaxW !== null)
    .sort((p, q) => p.fMhz - q.fMhz)
  const first = tested[0]
  const last = tested.at(-1)
  if (!first || !last || fMhz > last.fMhz || ambientC >= HOTTEST_C) return null
  const share = Math.min(1, (HOTTEST_C - ambientC) / (HOTTEST_C - POWER_AMBIENT_C))
  const cold = fMhz <= first.fMhz ? first.powerMaxW : between(tested, fMhz)
  return { powerW: (cold * share) / vswr, atLeast: fMhz < first.fMhz }
}

function between(tested: { fMhz: number; powerMaxW: number }[], fMhz: number): number {
  const above = tested.findIndex((p) => p.fMhz >= fMhz)
  const high = tested[above]!
  const low = tested[above - 1]!
  const share = Math.log(fMhz / low.fMhz) / Math.log(high.fMhz / low.fMhz)
  return low.powerMaxW * (high.powerMaxW / low.powerMaxW) ** share
}
