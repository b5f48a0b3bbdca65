/** Size of a reflection in the words of the trade. Γ between 0 and 1; return loss in dB is positive. */

export function gammaOfVswr(vswr: number): number {
  return (vswr - 1) / (vswr + 1)
}

export function vswrOfGamma(gamma: number): number {
  return gamma >= 1 ? Number.POSITIVE_INFINITY : (1 + gamma) / (1 - gamma)
}

export function returnLossDb(gamma: number): number {
  return -20 * Math.log10(gamma)
}

export function gammaOfReturnLoss(db: number): number {
  return 10 ** (-db / 20)
}

/** What a reflection keeps from a matched source: −10·log10(1 − Γ²), dB. */
export function mismatchLossDb(gamma: number): number {
  return -10 * Math.log10(1 - gamma * gamma)
}

/**
 * Loss of a line with a standing wave, the handbook approximation: 10·log10((a² − r²)/(a·(1 − r²))), with a = 10^(ML/10) and r the
 * reflection of the load. Exact where the characteristic impedance has no reactive part.
 */
export function standingWaveLossDb(matchedLossDb: number, gamma: number): number {
  const a = 10 ** (matchedLossDb / 10)
  return 10 * Math.log10((a * a - gamma * gamma) / (a * (1 - gamma * gamma)))
}
