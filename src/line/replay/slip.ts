import { type Found, placeText } from './finding.ts'

/** A stretch in which the counter's figure did not follow the cable. */
export interface Slip {
  /** Samples between which it slipped. */
  from: number
  to: number
  /** Cable that passed and was not counted, m; below nought where the counter showed too much. */
  missedM: number
  /** Standard uncertainty, m. */
  uncertaintyM: number
  by: 'both' | 'turns' | 'payoff'
}

/** Two witnesses that differ where the counter has the third on its side. */
export interface Quarrel {
  kind: 'take-up' | 'payoff'
  from: number
  to: number
  missedM: number
  uncertaintyM: number
}

/** The counter's travel with the slips added in. Slip goes with the length that passes; a counter that stands, with time. */
export function withSlips(travelM: Float64Array, slips: Slip[]): Float64Array {
  const cableM = travelM.slice()
  for (const slip of slips) {
    const share = (i: number) => travelM[i]! + 0.002 * i
    const whole = share(slip.to) - share(slip.from)
    for (let i = slip.from + 1; i < cableM.length; i++) {
      const part = i >= slip.to || !(whole > 0) ? 1 : (share(i) - share(slip.from)) / whole
      cableM[i] = cableM[i]! + part * slip.missedM
    }
  }
  return cableM
}

const BY = {
  both: 'take-up turns and payoff agree on it',
  turns: 'by the take-up turns; the payoff says nothing, so part of it may hide in the layers',
  payoff: 'by the payoff; the take-up turns say nothing',
}

/** A slip in words. */
export function slipFinding(slip: Slip, fromM: number, toM: number): Found {
  const { missedM, uncertaintyM, from, to, by } = slip
  const length = Math.max(0.001, toM - fromM)
  const ratio = Math.abs(missedM) / length
  const stood = ratio > 0.5 ? 'The counter stood while cable passed' : 'The counter slipped'
  const how =
    missedM > 0
      ? `${stood} at ${placeText(fromM, toM)}: ${missedM.toFixed(3)} m went through uncounted`
      : `The counter ran ahead at ${placeText(fromM, toM)}: it shows ${(-missedM).toFixed(3)} m that did not pass`
  const text = `${how} (${(100 * ratio).toFixed(1)} %, give or take ${(2 * uncertaintyM).toFixed(3)} m); ${BY[by]}.`
  const size = { size: missedM, sizeUncertainty: 2 * uncertaintyM, unit: 'm' as const }
  return { kind: 'slip', severity: 'wrong', text, from, to, fromM, toM, ...size }
}

/** A quarrel in words. */
export function quarrelFinding({ kind, from, to, missedM, uncertaintyM }: Quarrel): Found {
  const amount = `${Math.abs(missedM).toFixed(2)} m ${missedM > 0 ? 'more' : 'less'} than the counter`
  const text =
    kind === 'take-up'
      ? `The take-up turns make ${amount}, the payoff sides with the counter: look at the winding (a layer that dropped, the take-up slipping).`
      : `The payoff makes ${amount}, the take-up turns side with the counter: look at the payoff speed and the dancer.`
  const size = { size: missedM, sizeUncertainty: 2 * uncertaintyM, unit: 'm' as const }
  return { kind, severity: 'watch', text, from, to, ...size }
}
