import { attenuationDbPer100m, fitUncertaintyDbPer100m } from '../cable/attenuation-fit.ts'
import { type Complex, complex, over, plus, scaled, times } from '../cable/complex.ts'
import { DB_PER_NEPER, LIGHT_SPEED_M_S } from '../cable/constants.ts'
import { lineAbcd, lineWave } from '../cable/line-constants.ts'
import { foldedDeg, phaseDegOf } from '../cable/phase.ts'
import { gammaOfVswr, standingWaveLossDb } from '../cable/reflection.ts'
import { type Chain, cableLossDb, chainLine, connectorLossDb, refuseBeyond } from './chain.ts'
import { chainPower, type Load } from './chain-power.ts'
import type { ConnectorPower } from './connector-power.ts'
import { type Matrix, product } from './matrix.ts'

/** What a chain does at one frequency into one load; the units stand in the names. */
export interface ChainLoss {
  matchedLossDb: number
  cableLossDb: number
  connectorLossDb: number
  /** Power in over power into the load, at the worst angle of a load of this standing-wave ratio. */
  totalLossDb: number
  /** The same by the handbook's approximation, which knows no reactive characteristic impedance. */
  approximateTotalLossDb: number
  /** Matched loss at the type's upper tolerance: what is promised. */
  matchedLossLimitDb: number
  delayNs: number
  /** By the spread of velocity between lots. */
  delayPlusMinusNs: number
  electricalLengthM: number
  /** 0 to 360. */
  phaseDeg: number
  phasePlusMinusDeg: number
  turns: number
  /** null where no tested power point says. */
  powerLimitW: number | null
  limitedBy: string
  validToMhz: number
  validToEndedBy: string
  /** Of the matched loss; null where the scatter of the points is not known. */
  standardUncertaintyDb: number | null
  notes: string[]
}

export function chainLoss(chain: Chain, load: Load, connectorPower: ConnectorPower[] | null): ChainLoss {
  const { fMhz, vswr } = load
  refuseBeyond(chain, fMhz)
  const { cable, lengthM, validity } = chain
  const ofCable = cableLossDb(chain, fMhz)
  const ofConnectors = connectorLossDb(chain.a, fMhz) + connectorLossDb(chain.b, fMhz)
  const matchedLossDb = ofCable + ofConnectors
  const fHz = fMhz * 1e6
  const { notes: powerNotes, ...powerOf } = chainPower(chain, load, connectorPower)
  const delayNs = (1e9 * lengthM) / (cable.velocityRatio * LIGHT_SPEED_M_S)
  const spread = cable.velocityLotSpreadPct / 100
  const phase = phaseDegOf(lengthM, cable.velocityRatio, fHz)
  return {
    matchedLossDb,
    cableLossDb: ofCable,
    connectorLossDb: ofConnectors,
    totalLossDb: worstTotalLossDb(chain, fMhz, vswr),
    approximateTotalLossDb: standingWaveLossDb(matchedLossDb, gammaOfVswr(vswr)),
    matchedLossLimitDb: ofCable * (1 + cable.attTolPlusPct / 100) + ofConnectors,
    delayNs,
    delayPlusMinusNs: delayNs * spread,
    electricalLengthM: lengthM / cable.velocityRatio,
    phaseDeg: foldedDeg(phase),
    phasePlusMinusDeg: phase * spread,
    turns: phase / 360,
    ...powerOf,
    validToMhz: validity.validToMhz,
    validToEndedBy: validity.endedBy,
    standardUncertaintyDb: standardUncertaintyDb(chain, fMhz, ofCable),
    notes: [...notesOf(chain, fMhz), ...powerNotes],
  }
}

/** A matched attenuator as ABCD. */
function attenuator(db: number, zOhm: number): Matrix {
  const np = db / DB_PER_NEPER
  return [
    complex(Math.cosh(np)),
    complex(zOhm * Math.sinh(np)),
    complex(Math.sinh(np) / zOhm),
    complex(Math.cosh(np)),
  ]
}

function chainAbcd(chain: Chain, fMhz: number): Matrix {
  const { a, b, c, d } = lineAbcd(lineWave(chainLine(chain, fMhz * 1e6)), chain.lengthM)
  const z = chain.cable.z0NominalOhm
  const ends = [chain.a, chain.b].map((end) => attenuator(connectorLossDb(end, fMhz), z))
  return product(product(ends[0]!, [a, b, c, d]), ends[1]!)
}

/** Directions of the load's reflection that are tried; its angle is seldom known, and the loss hardly depends on it. */
const LOAD_ANGLES = 72

/** Exact: the telegraph equation with its complex characteristic impedance, power in over power into the load. */
function worstTotalLossDb(chain: Chain, fMhz: number, vswr: number): number {
  const abcd = chainAbcd(chain, fMhz)
  const size = gammaOfVswr(vswr)
  let worst = Number.NEGATIVE_INFINITY
  for (let k = 0; k < (size === 0 ? 1 : LOAD_ANGLES); k++) {
    const angle = (2 * Math.PI * k) / LOAD_ANGLES
    const gamma = complex(size * Math.cos(angle), size * Math.sin(angle))
    const load = scaled(
      over(plus(complex(1), gamma), plus(complex(1), scaled(gamma, -1))),
      chain.cable.z0NominalOhm,
    )
    worst = Math.max(worst, totalLossDb(abcd, load))
  }
  return worst
}

/** With one ampere into the load: V1 = A·Z + B, I1 = C·Z + D, loss = 10·log10(Re(V1·I1*)/Re(Z)). */
function totalLossDb([a, b, c, d]: Matrix, load: Complex): number {
  const volts = plus(times(a, load), b)
  const amperes = plus(times(c, load), d)
  return 10 * Math.log10((volts.re * amperes.re + volts.im * amperes.im) / load.re)
}

/**
 * Scatter of the points about the curve, and the spread between lots: nothing is known of its shape, so the type's
 * tolerance is taken as the half width of a rectangle, u = a/√3 (GUM 4.3.7). Connectors carry no stated spread and add none.
 */
function standardUncertaintyDb(chain: Chain, fMhz: number, ofCableDb: number): number | null {
  const ofFit = fitUncertaintyDbPer100m(chain.fit, fMhz)
  if (ofFit === null) return null
  const share = ofFit / attenuationDbPer100m(chain.fit, fMhz)
  return ofCableDb * Math.hypot(share, chain.cable.attTolPlusPct / 100 / Math.sqrt(3))
}

function notesOf(chain: Chain, fMhz: number): string[] {
  const { cable, fit } = chain
  const notes: string[] = []
  const first = fit.points[0]
  const last = fit.points.at(-1)
  if (fit.from !== 'points')
    notes.push(`Attenuation of ${cable.cable} is ${fit.from}, not fitted: fewer than two tested points.`)
  if (first && fMhz < first.fMhz)
    notes.push(`Below the lowest tested point, ${first.fMhz} MHz: the curve is drawn out.`)
  if (last && fMhz > last.fMhz)
    notes.push(`Above the highest tested point, ${last.fMhz} MHz: the curve is drawn out.`)
  return notes
}
