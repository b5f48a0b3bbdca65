/** One pound-force, one inch and one circular mil, exact or from exact inch. */
export const N_PER_LBF = 4.4482216152605
const MM_PER_IN = 25.4
export const MM2_PER_CIRCULAR_MIL = (Math.PI / 4) * (MM_PER_IN / 1000) ** 2

/** 10 000 psi in copper, 7 500 psi in aluminium (pulling-tension guide after the ICEA study), N/mm². */
export const ICEA_COPPER_N_PER_MM2 = (10_000 * N_PER_LBF) / MM_PER_IN ** 2
export const ICEA_ALUMINIUM_N_PER_MM2 = (7_500 * N_PER_LBF) / MM_PER_IN ** 2
/** 0.008 lb per circular mil of copper (the same guide): 2 % above its 10 000 psi; N/mm². */
export const CIRCULAR_MIL_COPPER_N_PER_MM2 = (0.008 * N_PER_LBF) / MM2_PER_CIRCULAR_MIL
/** Side wall: 300 lb per foot of bend radius (the same guide; for power cable), N per metre of radius. */
export const SIDEWALL_N_PER_M = (300 * N_PER_LBF) / 0.3048

/** Pull that brings a conductor to a stress, N. */
export function conductorPullN(areaMm2: number, stressNPerMm2: number): number {
  return areaMm2 * stressNPerMm2
}

/** Copper cross-section of round wires, mm². */
export function wireAreaMm2(wires: number, wireMm: number): number {
  return (wires * Math.PI * wireMm * wireMm) / 4
}

/**
 * Copper that carries the pull when all parts of the cable stretch alike: EA/E, and never less than the inner conductor
 * alone. Without the cable's stiffness only the inner conductor is counted.
 */
export function carryingCopperMm2(
  innerMm2: number,
  stretchEaKn: number | null,
  copperNPerMm2: number,
): number {
  return stretchEaKn === null ? innerMm2 : Math.max(innerMm2, (stretchEaKn * 1000) / copperNPerMm2)
}

/** Strain under a pull, ε = T/EA, no unit; null where the stiffness is not known. Valid below the yield of the conductor. */
export function strainRatio(tensionN: number, stretchEaKn: number | null): number | null {
  return stretchEaKn === null ? null : tensionN / (stretchEaKn * 1000)
}

/** By how much a length measured under tension is shorter at rest, m: L·ε/(1 + ε). */
export function relaxesByM(lengthM: number, strain: number): number {
  return (lengthM * strain) / (1 + strain)
}
