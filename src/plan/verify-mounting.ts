import type { CableType } from '../cable/cable-type.ts'
import type { Bench } from '../hall/bench.ts'
import type { RewindingLine } from '../hall/rewinding-line.ts'
import { BENCH_MAX_KG, canThread } from '../line/mountable.ts'
import { allowsFault } from '../order/faults-allowed.ts'
import type { OrderLine } from '../order/order-line.ts'
import { putupCapacityM } from '../putup/capacity.ts'
import { FINE_PER_UM } from '../quantity/length.ts'
import { microFromEur } from '../quantity/money.ts'
import type { Mounting, PieceInterval } from '../strip/cut-plan.ts'
import type { UsableDrum } from '../strip/usable.ts'
import { orderKey } from './catalog.ts'
import { type BrokenRule, neededFine, type ServedPart, SLACK_UM, sharePct, type Tally } from './tally.ts'
import {
  benchMountMicro,
  lineMountMicro,
  materialMicroPerM,
  putupChangeMicro,
  SHORT_REST_UM,
  scrapMicroPerM,
  stretchValueMicro,
  windOffMicro,
} from './tariff.ts'

interface Here {
  tally: Tally
  mounting: Mounting
  usable: UsableDrum
  cable: CableType
  line: RewindingLine | null
  bench: Bench | null
  breaks: (rule: BrokenRule['rule'], why: string) => void
}

/** Checks one mounting and books its cost. */
export function checkMounting(tally: Tally, mounting: Mounting, index: number): void {
  const where = `mounting ${index + 1} (${mounting.drum})`
  const breaks = (rule: BrokenRule['rule'], why: string) => tally.broken.push({ rule, where, why })
  const usable = tally.catalog.drums.get(mounting.drum)
  const cable = usable && tally.catalog.cables.get(usable.drum.cable)
  if (!usable || !cable) return void breaks('tiling', 'unknown drum')
  const bench = tally.catalog.benches.get(mounting.line) ?? null
  const line = bench ? null : (tally.catalog.lines.get(mounting.line) ?? null)
  if (!bench && !line) return void breaks('tiling', `unknown line or cutting bench ${mounting.line}`)
  const here: Here = { tally, mounting, usable, cable, line, bench, breaks }
  checkPlace(here)
  walkIntervals(here)
  if (bench) tally.items.mountings += benchMountMicro(bench)
  if (line) {
    const before = tally.lastCable.get(line.id)
    tally.items.mountings += lineMountMicro(
      line,
      tally.catalog.input.costs,
      before !== undefined && before !== cable.cable,
    )
    tally.lastCable.set(line.id, cable.cable)
  }
}

/** Whether this drum may be mounted here at all. */
function checkPlace({ tally, usable, cable, line, bench, breaks }: Here): void {
  const { drum } = usable
  if (drum.status !== 'free') breaks('tiling', `drum is ${drum.status}`)
  if (bench) {
    if (drum.kind !== 'remnant' || drum.grossKg > BENCH_MAX_KG)
      breaks('tiling', `only a remnant of at most ${BENCH_MAX_KG} kg goes to a bench`)
    return
  }
  if (!line) return
  const flangeMm = tally.catalog.putups.get(drum.putup)?.flangeMm ?? 0
  if (drum.grossKg > line.payoffMaxKg || flangeMm > line.payoffMaxDrumMm)
    breaks('tiling', `the pay-off of ${line.id} does not take ${drum.putup} of ${drum.grossKg} kg`)
  if (!canThread(drum, line)) breaks('tiling', `shorter than the threaded path of ${line.id}`)
  if (cable.odMm < line.odMinMm || cable.odMm > line.odMaxMm)
    breaks('tiling', `line ${line.id} does not take ${cable.odMm} mm`)
}

function walkIntervals(here: Here): void {
  const { tally, mounting, usable, cable, line, breaks } = here
  const { costs } = tally.catalog.input
  const { drum } = usable
  const before = tally.left.get(drum.drum)
  if (before === null) breaks('tiling', 'mounted again, but nothing was left on it')
  const perM = materialMicroPerM(costs, cable.cable)
  const worth = (fromUm: number, toUm: number) =>
    usable.clean.reduce(
      (sum, s) =>
        sum + stretchValueMicro(perM, cable.minKeepUm, Math.min(toUm, s.toUm) - Math.max(fromUm, s.fromUm)),
      0,
    )
  const firstUm = before?.fromUm ?? 0
  const lastUm = before?.toUm ?? usable.lengthUm
  let atUm = firstUm
  let keptUm = 0
  let usedUm = 0
  let lastPutup: string | null = null
  let rest: { fromUm: number; toUm: number; worthMicro: number } | null = null
  for (const [j, interval] of mounting.intervals.entries()) {
    const { fromUm, toUm } = interval
    if (!Number.isSafeInteger(fromUm) || !Number.isSafeInteger(toUm) || toUm < fromUm) {
      breaks('tiling', `interval ${j + 1} is no interval`)
      continue
    }
    if (Math.abs(fromUm - atUm) > SLACK_UM)
      breaks('tiling', `interval ${j + 1} starts at ${fromUm}, expected ${atUm}`)
    atUm = toUm
    if (interval.use === 'piece') {
      const putup = checkPiece(here, interval)
      if (lastPutup !== null && putup !== lastPutup && line)
        tally.items.putupChanges += putupChangeMicro(line)
      lastPutup = putup
      usedUm += toUm - fromUm
    } else if (interval.use === 'remnant') {
      if (interval.putup !== null) {
        checkWoundOff(here, fromUm, toUm, interval.putup)
        lastPutup = interval.putup
      } else {
        if (mounting.intervals.slice(j + 1).some((x) => x.use !== 'end'))
          breaks('tiling', 'a remnant that is not innermost must be wound off to a put-up')
        rest = { fromUm, toUm, worthMicro: worth(fromUm, toUm) }
        if (line && drum.kind === 'process_drum' && toUm - fromUm < SHORT_REST_UM)
          tally.items.windOffs += windOffMicro(line, costs, toUm - fromUm)
      }
      tally.items.stockValueLost -= worth(fromUm, toUm)
      keptUm += toUm - fromUm
    } else if (interval.use === 'end') {
      if (toUm > usable.good.fromUm + SLACK_UM && fromUm < usable.good.toUm - SLACK_UM)
        breaks('ends', `${fromUm}..${toUm} is called end and is none`)
    }
  }
  if (Math.abs(atUm - lastUm) > SLACK_UM)
    breaks('tiling', `intervals end at ${atUm}, what is on the drum at ${lastUm}`)
  tally.items.stockValueLost += before ? before.worthMicro : worth(0, usable.lengthUm)
  const scrapUm = lastUm - firstUm - keptUm - usedUm
  tally.items.copperReturned -= Math.round((scrapUm / 1e6) * scrapMicroPerM(costs, cable))
  tally.scrapUm += scrapUm
  tally.keptUm += keptUm - (before ? before.toUm - before.fromUm : 0)
  tally.piecesUm += usedUm
  tally.left.set(drum.drum, rest)
}

/** Checks one piece (or bench length of leads), books its put-up; returns what counts as its put-up on the line. */
function checkPiece(here: Here, piece: PieceInterval): string {
  const { tally, usable, breaks } = here
  const key = orderKey(piece.order, piece.orderLine)
  const order = tally.catalog.orders.get(key)
  if (!order) {
    breaks('quantity', `no order line ${key}`)
    return piece.putup ?? 'lead'
  }
  const last = piece.piece + piece.count - 1
  if (
    !Number.isInteger(piece.piece) ||
    !Number.isInteger(piece.count) ||
    piece.piece < 1 ||
    piece.count < 1 ||
    last > order.qty
  )
    breaks('quantity', `${key} has no piece ${piece.piece}..${last}`)
  if (order.cable !== usable.drum.cable)
    breaks('cable', `${key} wants ${order.cable}, the drum holds ${usable.drum.cable}`)
  if (piece.fromUm < usable.good.fromUm - SLACK_UM || piece.toUm > usable.good.toUm + SLACK_UM)
    breaks('ends', `${key} reaches into an end loss`)
  for (const zone of usable.zones)
    if (
      piece.fromUm < zone.toUm - SLACK_UM &&
      piece.toUm > zone.fromUm + SLACK_UM &&
      !allowsFault(order, zone.fault)
    )
      breaks(
        'faults',
        `${key} touches fault ${zone.fault.fault} (${zone.fault.code}, ${zone.fault.severity})`,
      )
  const declaredUm = order.kind === 'lead' ? checkLead(here, order, piece) : checkBulk(here, order, piece)
  const pieces = tally.served.get(key) ?? new Map<number, ServedPart[]>()
  tally.served.set(key, pieces)
  for (let n = 0; n < piece.count; n++) {
    const parts = pieces.get(piece.piece + n) ?? []
    pieces.set(piece.piece + n, parts)
    parts.push({ declaredUm, lot: usable.drum.lot })
  }
  if (order.sameLotGroup !== null) {
    const begun = order.open?.lot ?? usable.drum.lot
    if (begun !== usable.drum.lot) breaks('lots', `${key} was begun from lot ${begun}`)
    const lots = tally.lots.get(order.sameLotGroup) ?? new Set()
    tally.lots.set(order.sameLotGroup, lots.add(usable.drum.lot))
  }
  if (order.kind === 'bulk' && order.putup === null)
    tally.items.putups += microFromEur(tally.catalog.putups.get(piece.putup ?? '')?.costEur ?? 0)
  return order.kind === 'lead' ? 'lead' : (piece.putup ?? '')
}

/** Leads add up before anything is rounded: in a bench length of many what each is rounded by would be more than the slack. */
function checkLead({ tally, breaks }: Here, order: OrderLine, piece: PieceInterval): number {
  const cutFine = neededFine(tally.catalog, order)
  const leastFine = piece.count * (cutFine + tally.catalog.input.site.cutRules.leadTrimUm * FINE_PER_UM)
  const overFine = piece.count * Math.round((order.tolPlusMm ?? 0) * 1000 * FINE_PER_UM)
  const lengthUm = piece.toUm - piece.fromUm
  const shortFine = leastFine - lengthUm * FINE_PER_UM
  const slackFine = SLACK_UM * FINE_PER_UM
  if (cutFine <= 0) breaks('length', `${order.order}: the connectors are longer than the lead`)
  if (shortFine > slackFine)
    breaks('length', `${order.order}: ${lengthUm} µm is short of ${leastFine / FINE_PER_UM}`)
  if (-shortFine > overFine + slackFine)
    breaks('length', `${order.order}: ${lengthUm} µm is longer than the plus tolerance allows`)
  return Math.ceil(cutFine / FINE_PER_UM)
}

function checkBulk(here: Here, order: OrderLine, piece: PieceInterval): number {
  const { tally, usable, cable, line, bench, breaks } = here
  const { cutRules, putupRules } = tally.catalog.input.site
  if (bench) breaks('put-up', 'a bench cuts leads only')
  if (piece.count !== 1) breaks('quantity', 'only leads share a bench length')
  const declaredUm = piece.declaredUm
  const leastUm = declaredUm * (1 + cutRules.lengthGuardRatio) + cutRules.pieceTrimUm
  const orderedUm = neededFine(tally.catalog, order) / FINE_PER_UM
  const mostDeclaredUm = orderedUm + sharePct(orderedUm, order.tolPlusPct)
  const lengthUm = piece.toUm - piece.fromUm
  if (order.singleLength && declaredUm < orderedUm - sharePct(orderedUm, order.tolMinusPct) - SLACK_UM)
    breaks('length', `declares ${declaredUm} µm, ordered ${orderedUm}`)
  if (declaredUm > mostDeclaredUm + SLACK_UM)
    breaks('length', `declares ${declaredUm} µm, at most ${mostDeclaredUm}`)
  if (lengthUm < leastUm - SLACK_UM) breaks('length', `${lengthUm} µm is short of ${leastUm}`)
  if (lengthUm > leastUm + Math.max(0, mostDeclaredUm - declaredUm) + SLACK_UM)
    breaks('length', `${lengthUm} µm gives away more than the plus tolerance`)
  const putup = tally.catalog.putups.get(piece.putup ?? '')
  if (!putup) breaks('put-up', `unknown put-up ${piece.putup}`)
  else {
    if (order.putup !== null && order.putup !== putup.putup)
      breaks('put-up', `wants ${order.putup}, gets ${putup.putup}`)
    if (putup.barrelMm < cable.barrelMinMm)
      breaks('put-up', `${putup.putup}: barrel below ${cable.barrelMinMm} mm`)
    if (((lengthUm / 1e6) * cable.massKgKm) / 1000 > putup.payloadKg)
      breaks('put-up', `${putup.putup}: payload exceeded`)
    if (declaredUm / 1e6 > putupCapacityM(putup, cable, putupRules))
      breaks('put-up', `${putup.putup} does not hold ${declaredUm} µm of ${usable.drum.cable}`)
    if (putup.woodMark === 'unmarked' && tally.catalog.markets.get(order.market)?.woodRule !== 'none')
      breaks('put-up', `${putup.putup} is unmarked wood for market ${order.market}`)
    if (line && !line.takeupPutups.includes(putup.putup))
      breaks('put-up', `line ${line.id} cannot wind ${putup.putup}`)
  }
  return declaredUm
}

function checkWoundOff(here: Here, fromUm: number, toUm: number, putupId: string): void {
  const { tally, usable, cable, line, breaks } = here
  const putup = tally.catalog.putups.get(putupId)
  if (fromUm < usable.good.fromUm - SLACK_UM || toUm > usable.good.toUm + SLACK_UM)
    breaks('ends', 'a wound-off remnant reaches into an end loss')
  if (!putup) return void breaks('put-up', `unknown put-up ${putupId}`)
  if (!line) return void breaks('put-up', 'nothing is wound off at a bench')
  const lengthM = (toUm - fromUm) / 1e6
  if (putup.barrelMm < cable.barrelMinMm) breaks('put-up', `${putupId}: barrel below ${cable.barrelMinMm} mm`)
  if (
    lengthM > putupCapacityM(putup, cable, tally.catalog.input.site.putupRules) ||
    (lengthM * cable.massKgKm) / 1000 > putup.payloadKg
  )
    breaks('put-up', `${putupId} does not hold ${lengthM} m`)
  if (putup.kind === 'process_drum' || !line.takeupPutups.includes(putupId))
    breaks('put-up', `line ${line.id} cannot wind off to ${putupId}`)
  if (toUm > fromUm)
    tally.items.windOffs +=
      windOffMicro(line, tally.catalog.input.costs, toUm - fromUm) + microFromEur(putup.costEur)
}
