import { resistanceAt } from '../cable/conductor-metal.ts'
import { LIGHT_SPEED_M_S } from '../cable/constants.ts'
import { gammaOfReturnLoss } from '../cable/reflection.ts'
import { type Chain, cableLossDb, connectorLossDb } from './chain.ts'
import type { Connector } from './connector.ts'

/**
 * Specification limits of a lead, computed for its length and temperature at a frequency. What is accepted lies inside them by the
 * measurement uncertainty: see guard.ts.
 */
export interface LimitsAt {
  /** Expected insertion loss, and with the type's upper tolerance, dB. */
  nominalLossDb: number
  lossDb: number
  /** Largest reflection seen from end A and from end B. */
  gammaA: number
  gammaB: number
}

export function limitsAt(chain: Chain, fMhz: number): LimitsAt {
  const cable = cableLossDb(chain, fMhz)
  const [atA, atB] = [connectorLossDb(chain.a, fMhz), connectorLossDb(chain.b, fMhz)]
  return {
    nominalLossDb: cable + atA + atB,
    lossDb: cable * (1 + chain.cable.attTolPlusPct / 100) + atA + atB,
    gammaA: worstReflection(chain.a, chain.b, cable + atA),
    gammaB: worstReflection(chain.b, chain.a, cable + atB),
  }
}

/** Two connectors in phase, the far one weakened by the way there and back: |Γ1| + |Γ2|·e^(−2αL) (common practice, worst case). */
function worstReflection(near: Connector | null, far: Connector | null, wayDb: number): number {
  const own = near ? gammaOfReturnLoss(near.rlMinDb) : 0
  return own + (far ? gammaOfReturnLoss(far.rlMinDb + 2 * wayDb) : 0)
}

/** Distance between two ripples of return loss that two connectors make: c·v/2L, MHz. */
export function ripplePeriodMhz(velocity: number, lengthM: number): number {
  return (velocity * LIGHT_SPEED_M_S) / (2 * lengthM) / 1e6
}

/** What is tested with direct current. */
export interface DirectLimits {
  /** Resistance of the conductors end to end, milliohm: R'·L at the lead's temperature and 10 mΩ for the contacts (common practice). */
  innerMilliohm: number
  outerMilliohm: number
  /** Works setting for the core, kV DC; the connectors may ask for less. */
  hipotKvDc: number
  hipotCaution: string
  /** Least resistance between the conductors, megohm. */
  insulationMegohm: number
  insulationSource: string
}

/** N, BNC, SMA and most series of MIL-PRF-39012 (from memory): 5 GΩ; a few metres of dry polyethylene lie far above it. */
const CONNECTOR_INSULATION_MEGOHM = 5_000

/** Both contacts of a conductor, milliohm: common practice of the trade. */
const CONTACTS_MILLIOHM = 10

export function directLimits({ cable, lengthM, tempC }: Chain): DirectLimits {
  return {
    innerMilliohm: resistanceAt(cable.rInnerOhmKm, tempC) * lengthM + CONTACTS_MILLIOHM,
    outerMilliohm: resistanceAt(cable.rOuterOhmKm, tempC) * lengthM + CONTACTS_MILLIOHM,
    hipotKvDc: cable.hipotCoreKvDc,
    hipotCaution:
      'High voltage: guarded and interlocked; discharge before touching. Leads are usually tested at 1 to 2 kV; take the lowest of cable and connectors. This figure is not permission to test.',
    insulationMegohm: CONNECTOR_INSULATION_MEGOHM,
    insulationSource:
      'least insulation resistance of the connector series, MIL-PRF-39012 slash sheets (from memory); the part sheet counts',
  }
}
