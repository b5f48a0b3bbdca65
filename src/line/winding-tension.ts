/** Standard gravity, m/s². */
const G = 9.80665

/** Force to set at the dancer for a tension, T·n for n falls without friction, N. */
export function dancerForceN(tensionN: number, falls: number): number {
  return tensionN * falls
}

/** Cable that a dancer stores over a stroke, m: one fall each (one moving pulley has two falls). */
export function dancerCableM(strokeM: number, falls: number): number {
  return strokeM * falls
}

/**
 * Winding tension at a diameter with taper: T0·(1 − k·(1 − D0/D)), from T0 on the barrel D0 towards T0·(1 − k).
 * The usual taper law of winding; k 0 to 0.2 against crushed foam (common practice of the trade).
 */
export function taperedTensionN(
  tensionN: number,
  taperRatio: number,
  barrelMm: number,
  diameterMm: number,
): number {
  return tensionN * (1 - taperRatio * (1 - barrelMm / diameterMm))
}

/**
 * What a driven pay-off with a dancer adds to the tension per m/s² of ramp, kg: the carriage as if all its force were dead
 * weight, m = T·n/g moved at a/n and carried by n falls, so T/(g·n), which no carriage exceeds; and the cable between drum and
 * electrode. Friction of the sheaves and the error of the drive are not in it; a recorded run shows them.
 */
export function drivenPulledKg(
  tensionN: number,
  falls: number,
  cableKgPerM: number,
  hangingM: number,
): number {
  return tensionN / (G * falls) + cableKgPerM * hangingM
}

/**
 * How strongly a mass on stretchable cable swings on when its acceleration changes by so much, as an acceleration, m/s²: a
 * change made at once swings by itself again; one that a jerk limit spreads over t = Δa/j by |sin(ωt/2)|/(ωt/2) of it, which
 * is never more than 2j/ω. Undamped oscillator (any textbook of vibration), ω² = EA/(l·m).
 */
export function swingMPerS2(
  changeMPerS2: number,
  pulledKg: number,
  elastic: { stretchEaKn: number | null; lengthM: number; jerkMPerS3: number | null },
): number {
  const { stretchEaKn, lengthM, jerkMPerS3 } = elastic
  if (jerkMPerS3 === null || stretchEaKn === null || lengthM <= 0) return changeMPerS2
  const omega = Math.sqrt((stretchEaKn * 1000) / (lengthM * pulledKg))
  return Math.min(changeMPerS2, (2 * jerkMPerS3) / omega)
}

/**
 * Pull that an undriven drum asks for at steady speed because it must turn faster as it empties, N: m·v²·A/(2π·W·r²), with
 * A/W = area of one turn over the width, by ṙ = −v·A/(2π·W·r). Small, but it is there for the whole run.
 */
export function emptyingPullN(
  pulledKg: number,
  speedMPerS: number,
  turnAreaM2: number,
  traverseM: number,
  radiusM: number,
): number {
  return (pulledKg * speedMPerS * speedMPerS * turnAreaM2) / (2 * Math.PI * traverseM * radiusM * radiusM)
}
