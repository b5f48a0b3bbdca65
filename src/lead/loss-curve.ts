import { type Chain, cableLossDb, connectorLossDb } from './chain.ts'

export interface LossCurvePoint {
  fMhz: number
  matchedLossDb: number
  /** At the type's upper tolerance. */
  limitDb: number
}

/** Matched loss of the chain at frequencies evenly spaced in logarithm, up to where its figures hold and no further. */
export function lossCurve(chain: Chain, fromMhz: number, count: number): LossCurvePoint[] {
  const to = chain.validity.validToMhz
  const from = Math.min(fromMhz, to)
  return Array.from({ length: count }, (_, i) => {
    const fMhz = i === count - 1 ? to : from * (to / from) ** (i / (count - 1))
    const cable = cableLossDb(chain, fMhz)
    const ends = connectorLossDb(chain.a, fMhz) + connectorLossDb(chain.b, fMhz)
    return {
      fMhz,
      matchedLossDb: cable + ends,
      limitDb: cable * (1 + chain.cable.attTolPlusPct / 100) + ends,
    }
  })
}
