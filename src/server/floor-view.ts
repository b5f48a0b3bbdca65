import { benchDangers, lineDangers } from '../dispatch/dangers.ts'
import { planNumber } from '../dispatch/paper-meta.ts'
import { correctionText } from '../dispatch/run-warnings.ts'
import type { RewindingLine } from '../hall/rewinding-line.ts'
import { hasCuts, type OpenMounting, usableNow } from '../ledger/plan-now.ts'
import type { DrumRow, PieceRow } from '../ledger/state-rows.ts'
import { counterCorrection } from '../measure/counter-correction.ts'
import { UM_PER_M } from '../quantity/length.ts'
import { lengthText } from '../quantity/length-text.ts'
import type { Interval } from '../strip/cut-plan.ts'
import type { UsableDrum } from '../strip/usable.ts'
import type { FloorPiece, FloorView, LabelDoubt } from '../works/floor-api.ts'
import type { FloorNow } from './floor-desk.ts'
import {
  cutsShown,
  drumShown,
  nextDrumShown,
  type PlanSource,
  sheetOf,
  sheetWorks,
  uncertaintyOf,
} from './floor-mounting.ts'

/** Last pieces that are shown. */
const MOST_DONE = 8

export interface FloorSource extends PlanSource {
  newerPlanId: number | null
  repair: FloorView['repair']
  printer: string | null
  doubts: LabelDoubt[]
}

/** Now and next at one line or cutting bench. */
export function floorView(source: FloorSource, place: string): FloorView {
  const { now, released, open, repair, printer, doubts } = source
  const line = now.works.site.lines.find((l) => l.id === place) ?? null
  const row = mountedOn(source, place)
  const mounting = row ? open.find((m) => m.drum === row.drum && m.line === place) : undefined
  const others = open.filter((m) => m.line === place && m.drum !== row?.drum && hasCuts(m))
  // one that runs elsewhere now comes here later
  const next = others.find((m) => !now.state.drums.get(m.drum)?.mountedOn) ?? others[0] ?? null
  const sheet = mounting ? sheetOf(source, sheetWorks(now), mounting, place) : null
  const usable = row ? usableNow(row.drum, now.works) : null
  const correction = line ? counterCorrection(line.id, now.works.counterChecks) : null
  const unc = uncertaintyOf(line, correction)
  const nextUsable = next ? usableNow(next.drum, now.works) : null
  return {
    line: place,
    bench: line === null,
    seq: now.seq,
    plan: released
      ? {
          planId: released.planId,
          number: planNumber(released.planId),
          releasedAt: released.releasedAt,
          cause: released.cause,
        }
      : null,
    newerPlanId: source.newerPlanId,
    mounted: usable ? drumShown(source, usable, mounting) : null,
    nextDrum: next && nextUsable ? nextDrumShown(source, nextUsable, next) : null,
    cuts: sheet && mounting ? cutsShown(source, sheet, mounting, unc) : [],
    done: lastPieces(now, place),
    repair,
    dangers: sheet?.dangers ?? dangersOf(now, line, usable),
    correction: line ? correctionText(line.id, correction) : '',
    errorRatio: correction?.errorRatio ?? 0,
    lengthUncRatio: unc.ratio,
    lengthUncUm: unc.um,
    sparkToCutterUm: line ? Math.round(line.spark.toCutterM * UM_PER_M) : null,
    drawing: usable ? { usable, mounting: sheet?.mounting ?? bare(usable, place) } : null,
    printer,
    doubts,
    putups: now.works.putups.map((p) => p.putup),
  }
}

function mountedOn({ now }: FloorSource, place: string): DrumRow | null {
  for (const row of now.state.drums.rows()) if (row.mountedOn === place && row.toUm > row.fromUm) return row
  return null
}

/** A drum that the plan does not cut: all of it stays. */
function bare({ drum, lengthUm }: UsableDrum, line: string): OpenMounting {
  const rest: Interval = { fromUm: 0, toUm: lengthUm, use: 'remnant', putup: null }
  return { drum: drum.drum, line, intervals: [rest], index: -1 }
}

function dangersOf({ works }: FloorNow, line: RewindingLine | null, usable: UsableDrum | null): string[] {
  if (!usable) return []
  const { drum } = usable
  const cable = works.cables.find((c) => c.cable === drum.cable)
  if (!line || !cable) return benchDangers(drum.grossKg)
  return lineDangers(cable, drum.grossKg)
}

function lastPieces({ state, works }: FloorNow, place: string): FloorPiece[] {
  const made: PieceRow[] = []
  for (const piece of state.pieces.rows()) if (piece.line === place && piece.parent === null) made.push(piece)
  made.sort((a, b) => (a.at < b.at ? 1 : a.at > b.at ? -1 : a.serial < b.serial ? 1 : -1))
  return made.slice(0, MOST_DONE).map((piece) => {
    const ordered = works.orders.find((o) => o.order === piece.order && o.line === piece.orderLine)
    const of = ordered ? ` of ${ordered.open?.qty ?? ordered.qty}` : ''
    const order =
      piece.order === null
        ? 'for the shelf'
        : `${piece.order}/${piece.orderLine}, piece ${piece.piece ?? '?'}${of}`
    return {
      serial: piece.serial,
      what: piece.count > 1 ? `${order}, ${piece.count} leads` : order,
      declaredText: piece.declaredText || `${lengthText(piece.measuredUm, 'm', 3)} measured`,
      at: piece.at,
      where: piece.where,
    }
  })
}
