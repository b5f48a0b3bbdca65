import type { AttenuationPoint } from '../cable/attenuation-point.ts'
import type { CableType } from '../cable/cable-type.ts'
import type { TestFigure } from './state-rows.ts'

/** What the laboratory measures of a process lot. */
export const LOT_QUANTITIES = {
  attenuation: { word: 'Attenuation', unit: 'dB/100 m', byFrequency: true },
  return_loss: { word: 'Structural return loss', unit: 'dB', byFrequency: true },
  capacitance: { word: 'Capacitance', unit: 'pF/m', byFrequency: false },
  loop_resistance: { word: 'Loop resistance', unit: 'ohm/km', byFrequency: false },
  velocity: { word: 'Velocity', unit: 'of light', byFrequency: false },
} as const

export type LotQuantity = keyof typeof LOT_QUANTITIES

export const LOT_QUANTITY_NAMES = Object.keys(LOT_QUANTITIES) as LotQuantity[]

/** One measured figure of a lot, at 20 °C. A row of more/lot_tests.csv; null where the cell is empty. */
export interface LotTest {
  lot: string
  cable: string
  testedDate: string
  quantity: LotQuantity
  /** Where it depends on the frequency. */
  fMhz: number | null
  /** In the unit of its quantity. */
  value: number
  instrument: string | null
}

/** What a figure is held against. */
export interface LotLimit {
  least: number | null
  most: number | null
  /** Where the limit is from. */
  source: string
}

/** Capacitance within ±5 % of the type's: common practice of the trade, from memory; the works folder gives no tolerance. */
const CAPACITANCE_RATIO = 0.05
/** Conductor resistance up to 2 % above the type's: common practice of the trade; the works folder gives no tolerance. */
const RESISTANCE_RATIO = 0.02

/**
 * The limit of a quantity by the cable type's own figures; null where there is none: above the type's highest frequency,
 * or without a frequency where one is needed. Attenuation is the tested point of attenuation.csv where there is one at that
 * frequency, else a = k1·√f + k2·f.
 */
export function lotLimit(
  cable: CableType,
  points: readonly AttenuationPoint[],
  quantity: LotQuantity,
  fMhz: number | null,
): LotLimit | null {
  if (LOT_QUANTITIES[quantity].byFrequency && (fMhz === null || !(fMhz > 0) || fMhz > cable.fMaxMhz))
    return null
  switch (quantity) {
    case 'attenuation': {
      const f = fMhz as number
      const point = points.find((p) => p.cable === cable.cable && p.fMhz === f)
      const formula = cable.attK1DbPer100mPerSqrtMhz * Math.sqrt(f) + cable.attK2DbPer100mPerMhz * f
      const plus = cable.attTolPlusPct
      return {
        least: null,
        most: (point?.attDbPer100m ?? formula) * (1 + plus / 100),
        source: `${point ? 'attenuation.csv' : 'k1, k2 of cables.csv'} and ${plus} % (att_tol_plus_pct)`,
      }
    }
    case 'return_loss':
      return { least: cable.srlMinDb, most: null, source: 'srl_min_db of cables.csv' }
    case 'capacitance':
      return {
        ...around(cable.capPfM, CAPACITANCE_RATIO),
        source: 'cap_pf_m of cables.csv ± 5 % (common practice)',
      }
    case 'loop_resistance':
      return {
        least: null,
        most: (cable.rInnerOhmKm + cable.rOuterOhmKm) * (1 + RESISTANCE_RATIO),
        source: 'r_inner + r_outer of cables.csv and 2 % (common practice)',
      }
    case 'velocity': {
      const pct = cable.velocityLotSpreadPct
      return {
        ...around(cable.velocityRatio, pct / 100),
        source: `velocity_ratio of cables.csv ± ${pct} % (velocity_lot_spread_pct)`,
      }
    }
  }
}

function around(value: number, ratio: number): { least: number; most: number } {
  return { least: value * (1 - ratio), most: value * (1 + ratio) }
}

export interface JudgedFigure {
  test: Pick<LotTest, 'quantity' | 'fMhz' | 'value' | 'instrument'>
  limit: LotLimit | null
  /** Null where there is nothing to judge by. */
  passed: boolean | null
}

export interface LotVerdict {
  figures: JudgedFigure[]
  /** No figure fails and none is without a limit. */
  passed: boolean
  /** Quantities of which nothing was measured. */
  missing: LotQuantity[]
}

/** Holds what was measured of a lot against its cable type. What was not measured does not fail a lot; it is named. */
export function judgeLot(
  cable: CableType,
  points: readonly AttenuationPoint[],
  tests: readonly Pick<LotTest, 'quantity' | 'fMhz' | 'value' | 'instrument'>[],
): LotVerdict {
  const figures = tests.map(({ quantity, fMhz, value, instrument }) => {
    const limit = lotLimit(cable, points, quantity, fMhz)
    const passed = limit && value >= (limit.least ?? value) && value <= (limit.most ?? value)
    return { test: { quantity, fMhz, value, instrument }, limit, passed }
  })
  return {
    figures,
    passed: figures.length > 0 && figures.every((f) => f.passed === true),
    missing: LOT_QUANTITY_NAMES.filter((q) => !tests.some((t) => t.quantity === q)),
  }
}

/** A judged figure as the ledger keeps it: of two limits the one that is nearer. */
export function testFigure({ test, limit }: JudgedFigure): TestFigure {
  const { quantity, fMhz, value, instrument } = test
  const bounds = [limit?.least ?? null, limit?.most ?? null].filter((b) => b !== null)
  const nearest = bounds.sort((a, b) => Math.abs(a - value) - Math.abs(b - value))[0] ?? null
  return { quantity, fMhz, value, unit: LOT_QUANTITIES[quantity].unit, limit: nearest, instrument }
}
