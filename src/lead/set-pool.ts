import type { AttenuationPoint } from '../cable/attenuation-point.ts'
import type { CableType } from '../cable/cable-type.ts'
import { gammaOfReturnLoss, returnLossDb } from '../cable/reflection.ts'
import { chainOf } from './chain.ts'
import type { Connector } from './connector.ts'
import { limitsAt } from './lead-limits.ts'
import { specOfTest } from './lead-spec.ts'
import type { LeadTest } from './lead-test.ts'

/** A tested lead with what sets are made by. */
export interface PoolLead {
  test: LeadTest
  /** Leads of one pool may be in one set: same lot and the same two connectors, whichever end is called A. */
  pool: string
  /** Whole phase through the lead at the frequency of its test, degree, turns counted by its delay; null where they cannot be counted. */
  wholeDeg: number | null
}

interface Parts {
  cables: CableType[]
  connectors: Connector[]
  attenuation: AttenuationPoint[]
}

/** Phase and delay on record may differ by so much, degree, before the number of turns is a guess. */
const TURNS_ARE_SURE_DEG = 90

export function poolLead(test: LeadTest): PoolLead {
  return { test, pool: poolName(test), wholeDeg: wholePhaseDeg(test) }
}

export function poolName({ lot, connA, connB }: Pick<LeadTest, 'lot' | 'connA' | 'connB'>): string {
  return [lot, ...[connA, connB].sort()].join(' / ')
}

/**
 * Phase through a lead is 360·f·τ; the record holds the phase of the transmission, which is its negative, less whole turns. The phase is
 * the finer figure, the delay counts its turns: two leads a whole turn apart agree at one frequency and at no other.
 */
function wholePhaseDeg({ delayPs, fTestMhz, phaseDeg }: LeadTest): number | null {
  const byDelay = 360 * fTestMhz * delayPs * 1e-6
  const turns = Math.round((byDelay + phaseDeg) / 360)
  const whole = 360 * turns - phaseDeg
  return Math.abs(whole - byDelay) > TURNS_ARE_SURE_DEG ? null : whole
}

/** Why a lead may be in no set; null where nothing on its record is against it. */
export function unfitForSets(parts: Parts, { test, wholeDeg }: PoolLead): string | null {
  if (wholeDeg === null)
    return `phase ${test.phaseDeg}° and delay ${test.delayPs} ps on record contradict each other: measure it again`
  return failedTest(parts, test)
}

/** What a tested lead failed, by the specification limits for its length and temperature; null where it passed. */
export function failedTest(parts: Parts, test: LeadTest): string | null {
  if (test.continuity === 'fail') return 'continuity failed'
  const { cable, a, b, cutM } = specOfTest(parts, test)
  const leastDb = returnLossDb(gammaOfReturnLoss(a.rlMinDb) + gammaOfReturnLoss(b.rlMinDb))
  if (test.rlMinDb < leastDb)
    return `worst return loss ${test.rlMinDb} dB, where two connectors in phase at their sheet values still give ${leastDb.toFixed(1)} dB`
  const chain = chainOf({
    cable,
    attenuation: parts.attenuation,
    lengthM: cutM,
    tempC: test.tempC,
    a,
    b,
  })
  if (test.fTestMhz > chain.validity.validToMhz) return null
  const { lossDb } = limitsAt(chain, test.fTestMhz)
  if (test.ilDb > lossDb)
    return `insertion loss ${test.ilDb} dB at ${test.fTestMhz} MHz, limit ${lossDb.toFixed(3)} dB`
  return null
}
