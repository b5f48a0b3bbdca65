import type { CableType } from '../cable/cable-type.ts'
import type { OrderLine } from '../order/order-line.ts'
import { putupCapacityM } from '../putup/capacity.ts'
import type { Putup } from '../putup/putup.ts'
import { mFromUm } from '../quantity/length.ts'
import type { Notice } from './problem.ts'
import type { Works } from './works.ts'

/** Put-ups that order lines ask for and that cannot be: too small, too tight for the cable, no line winds them, wrong wood. */
export function putupNotices(works: Works, rows: readonly number[]): Notice[] {
  const cables = new Map(works.cables.map((c) => [c.cable, c]))
  const putups = new Map(works.putups.map((p) => [p.putup, p]))
  const markets = new Map(works.markets.map((m) => [m.market, m]))
  const notices: Notice[] = []
  for (const [i, line] of works.orders.entries()) {
    if (line.putup === null) continue
    const putup = putups.get(line.putup)!
    const cable = cables.get(line.cable)!
    const at = { file: 'orders.csv', row: rows[i] ?? null, column: 'putup' }
    const who = `${line.order}/${line.line}: ${putup.putup}`
    const unfit = unfitText(works, line, putup, cable)
    if (unfit !== null) notices.push({ ...at, text: `${who} ${unfit}`, kind: 'putup-unfit' })
    const market = markets.get(line.market)!
    if (putup.woodMark === 'unmarked' && market.woodRule === 'ispm15')
      notices.push({
        ...at,
        text: `${who} is unmarked wood, which market ${line.market} does not take.`,
        kind: 'wood-unfit',
      })
  }
  return notices
}

/** Judged by the least that one piece, or one part of it, may declare. */
function unfitText(works: Works, line: OrderLine, putup: Putup, cable: CableType): string | null {
  const { site } = works
  const leastM = mFromUm(line.lengthUm) * (1 - (line.tolMinusPct ?? 0) / 100)
  const pieceM = line.singleLength ? leastM : Math.min(leastM, mFromUm(line.minPieceUm ?? line.lengthUm))
  if (putup.barrelMm < cable.barrelMinMm)
    return `has a barrel of ${putup.barrelMm} mm; ${cable.cable} needs ${cable.barrelMinMm} mm.`
  const capacityM = putupCapacityM(putup, cable, site.putupRules)
  if (pieceM > capacityM)
    return `holds ${capacityM.toFixed(1)} m of ${cable.cable}; ${pieceM.toFixed(1)} m is asked for.`
  const takeM = pieceM * (1 + site.cutRules.lengthGuardRatio) + mFromUm(site.cutRules.pieceTrimUm)
  const massKg = (takeM * cable.massKgKm) / 1000
  if (massKg > putup.payloadKg) return `carries ${putup.payloadKg} kg; the piece has ${massKg.toFixed(1)} kg.`
  const winds = site.lines.some(
    (l) => l.takeupPutups.includes(putup.putup) && cable.odMm >= l.odMinMm && cable.odMm <= l.odMaxMm,
  )
  return winds ? null : `is on the take-up list of no line that takes ${cable.odMm} mm.`
}
