import { declaredLine, lineAbcd, lineWave } from '../../src/cable/line-constants.ts'
import { type Matrix, product } from '../../src/lead/matrix.ts'
import type { Sweep } from '../../src/lead/sweep.ts'
import { sweepOf } from '../../src/lead/sweep-algebra.ts'
import { scatteringOfAbcd } from '../../src/lead/two-port.ts'

/** One fault on a simulated lead: a short stretch of another impedance, seen as a small capacitor or inductor across the line. */
export interface SimulatedFault {
  atM: number
  /** Shunt capacitance, F; below nought: less capacitance than the line should have. */
  farad: number
}

export interface SimulatedLead {
  lengthM: number
  velocity: number
  zOhm: number
  /** Attenuation a·√f + b·f, f in MHz, dB/100 m. */
  a: number
  b: number
  faults: SimulatedFault[]
  /** Shunt capacitance of the connectors, F. */
  connectorFarad: [number, number]
  zRefOhm: number
}

/** A lead as a row of lines and shunt capacitors, by ABCD: not by the finder's own formulas. */
export function simulatedLead(lead: SimulatedLead, fHz: Float64Array): Sweep {
  const stops = [
    { atM: 0, farad: lead.connectorFarad[0] },
    ...[...lead.faults].sort((p, q) => p.atM - q.atM),
    { atM: lead.lengthM, farad: lead.connectorFarad[1] },
  ]
  return sweepOf(fHz, [lead.zRefOhm, lead.zRefOhm], (i) => {
    const f = fHz[i]!
    const wave = lineWave(
      declaredLine({
        fHz: f,
        conductorDbM: (lead.a * Math.sqrt(f / 1e6)) / 100,
        dielectricDbM: (lead.b * f) / 1e8,
        zOhm: lead.zOhm,
        velocity: lead.velocity,
        dcLoopOhmM: 0,
      }),
    )
    let whole: Matrix = shunt(f, stops[0]!.farad)
    for (let k = 1; k < stops.length; k++) {
      const { a, b, c, d } = lineAbcd(wave, stops[k]!.atM - stops[k - 1]!.atM)
      whole = product(product(whole, [a, b, c, d]), shunt(f, stops[k]!.farad))
    }
    const [a, b, c, d] = whole
    return scatteringOfAbcd({ a, b, c, d }, lead.zRefOhm, lead.zRefOhm)
  })
}

function shunt(fHz: number, farad: number): Matrix {
  const real = (re: number) => ({ re, im: 0 })
  return [real(1), real(0), { re: 0, im: 2 * Math.PI * fHz * farad }, real(1)]
}

export const evenHz = (fromHz: number, toHz: number, count: number): Float64Array =>
  Float64Array.from({ length: count }, (_, i) => fromHz + ((toHz - fromHz) * i) / (count - 1))
