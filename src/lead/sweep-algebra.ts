import type { Complex } from '../cable/complex.ts'
import { type LineConstants, lineAbcd, lineWave } from '../cable/line-constants.ts'
import { LastmetreError } from '../quantity/errors.ts'
import type { Matrix } from './matrix.ts'
import type { Sweep } from './sweep.ts'
import { inARow, renormalised, scatteringOfAbcd, withoutFirst, withoutLast } from './two-port.ts'

/** Algebra of whole sweeps: what two-port.ts does at one frequency, at all of them. */

export function matrixAt(sweep: Sweep, index: number): Matrix {
  const at = (place: number): Complex => ({
    re: sweep.s[8 * index + place]!,
    im: sweep.s[8 * index + place + 1]!,
  })
  return [at(0), at(2), at(4), at(6)]
}

/** A two-port sweep from one matrix for each frequency. */
export function sweepOf(fHz: Float64Array, zRefOhm: number[], of: (index: number) => Matrix): Sweep {
  const s = new Float64Array(8 * fHz.length)
  for (let i = 0; i < fHz.length; i++)
    of(i).forEach((value, k) => {
      s[8 * i + 2 * k] = value.re
      s[8 * i + 2 * k + 1] = value.im
    })
  return { ports: 2, fHz, s, zRefOhm }
}

/** Two sweeps in a row, at the same frequencies. */
export function cascaded(first: Sweep, second: Sweep): Sweep {
  sameGrid(first, second)
  const middle = renormalisedSweep(second, [first.zRefOhm[1]!, second.zRefOhm[1]!])
  return sweepOf(first.fHz, [first.zRefOhm[0]!, second.zRefOhm[1]!], (i) =>
    inARow(matrixAt(first, i), matrixAt(middle, i)),
  )
}

/** What is left of a measurement when a known adapter at its first port is taken off. */
export function deembeddedFirst(whole: Sweep, adapter: Sweep): Sweep {
  sameGrid(whole, adapter)
  const known = renormalisedSweep(adapter, [whole.zRefOhm[0]!, adapter.zRefOhm[1]!])
  return sweepOf(whole.fHz, [known.zRefOhm[1]!, whole.zRefOhm[1]!], (i) =>
    withoutFirst(matrixAt(whole, i), matrixAt(known, i)),
  )
}

/** The same at its second port; the adapter's second port is the one at the instrument. */
export function deembeddedLast(whole: Sweep, adapter: Sweep): Sweep {
  sameGrid(whole, adapter)
  const known = renormalisedSweep(adapter, [adapter.zRefOhm[0]!, whole.zRefOhm[1]!])
  return sweepOf(whole.fHz, [whole.zRefOhm[0]!, known.zRefOhm[0]!], (i) =>
    withoutLast(matrixAt(whole, i), matrixAt(known, i)),
  )
}

/** The same lead between other reference impedances. */
export function renormalisedSweep(sweep: Sweep, to: number[]): Sweep {
  if (sweep.zRefOhm.every((z, port) => z === to[port])) return sweep
  if (sweep.ports === 1) return renormalisedOnePort(sweep, to[0]!)
  return sweepOf(sweep.fHz, to.slice(0, 2), (i) => renormalised(matrixAt(sweep, i), sweep.zRefOhm, to))
}

/** (Γ − r)/(1 − r·Γ) with r = (Z' − Z)/(Z' + Z). */
function renormalisedOnePort(sweep: Sweep, to: number): Sweep {
  const from = sweep.zRefOhm[0]!
  const r = (to - from) / (to + from)
  const s = new Float64Array(sweep.s.length)
  for (let i = 0; i < s.length; i += 2) {
    const re = sweep.s[i]!
    const im = sweep.s[i + 1]!
    const underRe = 1 - r * re
    const underIm = -r * im
    const square = underRe * underRe + underIm * underIm
    s[i] = ((re - r) * underRe + im * underIm) / square
    s[i + 1] = (im * underRe - (re - r) * underIm) / square
  }
  return { ...sweep, s, zRefOhm: [to] }
}

/** A length of uniform line between real reference impedances. */
export function lineSweep(
  fHz: Float64Array,
  lengthM: number,
  zRefOhm: number,
  constantsAt: (fHz: number) => LineConstants,
): Sweep {
  return sweepOf(fHz, [zRefOhm, zRefOhm], (i) =>
    scatteringOfAbcd(lineAbcd(lineWave(constantsAt(fHz[i]!)), lengthM), zRefOhm, zRefOhm),
  )
}

function sameGrid(a: Sweep, b: Sweep): void {
  const same =
    a.ports === 2 && b.ports === 2 && a.fHz.length === b.fHz.length && a.fHz.every((f, i) => f === b.fHz[i])
  if (!same) throw new LastmetreError('measurement-refused', 'The two sweeps do not share their frequencies.')
}
