import { type AttenuationFit, attenuationOf } from '../cable/attenuation-fit.ts'
import type { AttenuationPoint } from '../cable/attenuation-point.ts'
import type { CableType } from '../cable/cable-type.ts'
import { DB_PER_NEPER } from '../cable/constants.ts'
import { declaredLine, type LineConstants, lineWave } from '../cable/line-constants.ts'
import { attenuationFactor, TEMPERATURE_RANGE_C } from '../cable/temperature.ts'
import { LastmetreError } from '../quantity/errors.ts'
import type { Connector } from './connector.ts'
import { type Validity, validityOf } from './validity.ts'

/** A length of cable with the connectors on it, at one temperature: what every figure of a lead is computed from. */
export interface Chain {
  cable: CableType
  fit: AttenuationFit
  /** Cable between the cut faces, m. */
  lengthM: number
  tempC: number
  /** Factor on the attenuation at 20 °C. */
  tempFactor: number
  a: Connector | null
  b: Connector | null
  validity: Validity
}

export function chainOf(of: {
  cable: CableType
  attenuation: AttenuationPoint[]
  lengthM: number
  tempC: number
  a: Connector | null
  b: Connector | null
}): Chain {
  const { cable, attenuation, lengthM, tempC, a, b } = of
  for (const connector of [a, b])
    if (connector && connector.cable !== cable.cable)
      throw new LastmetreError(
        'figure-refused',
        `${connector.part} fits ${connector.cable}, not ${cable.cable}.`,
      )
  if (!(lengthM > 0)) throw new LastmetreError('figure-refused', 'The connectors are longer than the lead.')
  const fit = attenuationOf(cable, attenuation)
  if (!fit)
    throw new LastmetreError('figure-refused', `Nothing is known of the attenuation of ${cable.cable}.`)
  const tempFactor = attenuationFactor(tempC)
  if (tempFactor === null)
    throw new LastmetreError(
      'figure-refused',
      `The temperature rule holds from ${TEMPERATURE_RANGE_C.from} to ${TEMPERATURE_RANGE_C.to} °C, not at ${tempC} °C.`,
    )
  const connectors = [a, b].filter((c): c is Connector => c !== null)
  return { cable, fit, lengthM, tempC, tempFactor, a, b, validity: validityOf(cable, connectors) }
}

/** One metre of the chain's cable at a frequency. */
export function chainLine({ cable, fit, tempFactor }: Chain, fHz: number): LineConstants {
  const fMhz = fHz / 1e6
  return declaredLine({
    fHz,
    conductorDbM: (fit.a * Math.sqrt(fMhz) * tempFactor) / 100,
    dielectricDbM: (fit.b * fMhz * tempFactor) / 100,
    zOhm: cable.z0CalcOhm,
    velocity: cable.velocityRatio,
    dcLoopOhmM: (cable.rInnerOhmKm + cable.rOuterOhmKm) / 1_000,
  })
}

/** Loss of the cable alone, matched, dB. */
export function cableLossDb(chain: Chain, fMhz: number): number {
  return DB_PER_NEPER * chain.lengthM * lineWave(chainLine(chain, fMhz * 1e6)).gamma.re
}

/** Loss of one connector c·√f, f in GHz (form of connector sheets, ESCC 3402); nought where the end is open. */
export function connectorLossDb(connector: Connector | null, fMhz: number): number {
  return connector ? connector.lossCoeffDbPerSqrtGhz * Math.sqrt(fMhz / 1_000) : 0
}

/** Refuses a frequency for which no figure may be given. */
export function refuseBeyond({ validity }: Chain, fMhz: number): void {
  if (fMhz <= validity.validToMhz) return
  throw new LastmetreError(
    'figure-refused',
    `No figure is given at ${fMhz} MHz: it ends at ${Math.floor(validity.validToMhz)} MHz, the ${validity.endedBy}.`,
  )
}
