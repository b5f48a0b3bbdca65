import type { CommandBody, CommandOf } from '../../../ledger/command.ts'
import type { AheadDrum, FloorAhead, FloorCut, FloorDrum, FloorView } from '../../../works/floor-api.ts'
import { markDirection, umOfMark } from './cut-record.ts'

/** What a line's tablet shows, with what it keeps of the drums that come next. */
export interface LineView extends FloorView {
  /** Mountings that can go on without the server. */
  ahead: AheadDrum[]
  /** Mountings of the plan here beyond those. */
  moreAhead: number
  /** False where a drum is mounted of which this station was never told the cuts. */
  cutsKnown: boolean
}

/**
 * The view as it is once these commands are booked, as far as this station can tell by itself: what goes on while the
 * server has not answered. It knows nothing of repairs, and of drums only what it was told of them: `ahead`, where that
 * is of the plan in force.
 */
export function advanceView(view: FloorView, bodies: CommandBody[], ahead: FloorAhead | null): LineView {
  const kept = ahead !== null && ahead.planId === view.plan?.planId ? ahead : null
  const base: LineView = {
    ...view,
    ahead: kept?.drums.filter(({ drum }) => drum.mounting !== view.mounted?.mounting) ?? [],
    moreAhead: (view.nextDrum && kept?.more) ?? 0,
    cutsKnown: true,
  }
  return bodies.reduce(advanceOne, base)
}

function advanceOne(view: LineView, body: CommandBody): LineView {
  switch (body.kind) {
    case 'cut-pieces':
      return body.line === view.line ? afterPieces(view, body) : view
    case 'cut-off':
    case 'wind-off':
      return body.line === view.line ? afterOff(view, body) : view
    case 'mount-drum':
      return body.line === view.line ? afterMount(view, body) : view
    case 'put-drum-away':
      return body.line === view.line ? afterAway(view) : view
    case 'measure-rest':
      return view.mounted?.drum === body.drum ? afterRest(view, view.mounted, body.newRestUm) : view
    default:
      return view
  }
}

function afterPieces(view: LineView, body: CommandOf<'cut-pieces'>): LineView {
  const done = view.cuts.slice(0, body.pieces.length)
  const expectedUm = done.reduce((sum, cut) => sum + cut.takenUm, 0)
  const takenUm = body.pieces.reduce((sum, piece) => sum + piece.measuredUm + piece.trimUm, 0)
  const cuts = view.cuts.slice(done.length)
  return shortened({ ...view, cuts: shifted(cuts, takenUm - expectedUm) }, takenUm)
}

/** The planned cut where it is one of this kind; else a length that was not planned, and the plan follows it inward. */
function afterOff(view: LineView, body: CommandOf<'cut-off' | 'wind-off'>): LineView {
  const first = view.cuts[0]
  const takenUm = body.lengthUm ?? view.mounted?.restUm ?? 0
  const planned = first && first.asShown.kind === body.kind
  if (!planned) return shortened({ ...view, cuts: shifted(view.cuts, takenUm) }, takenUm)
  return shortened({ ...view, cuts: shifted(view.cuts.slice(1), takenUm - first.takenUm) }, takenUm)
}

function afterMount(view: LineView, { drum, mounting }: CommandOf<'mount-drum'>): LineView {
  const kept =
    view.ahead.find((a) => a.drum.drum === drum && a.drum.mounting === mounting) ??
    view.ahead.find((a) => a.drum.drum === drum)
  const ahead = view.ahead.filter((a) => a !== kept)
  if (kept) {
    const { place: _place, code: _code, ...mounted } = kept.drum
    const { cuts, dangers, drawing } = kept
    const nextDrum = ahead.find((a) => a.drum.drum !== drum)?.drum ?? null
    return { ...view, mounted, nextDrum, cuts, dangers, drawing, ahead, cutsKnown: true }
  }
  const next = view.nextDrum?.drum === drum ? view.nextDrum : null
  const nextDrum = next ? null : view.nextDrum
  return { ...view, mounted: next, nextDrum, cuts: [], drawing: null, cutsKnown: false }
}

/** A drum that is empty has left the line; what is beyond the rest of another cannot be cut from it. */
function afterRest(view: LineView, mounted: FloorDrum, restUm: number): LineView {
  if (restUm === 0) return afterAway(view)
  let atUm = 0
  const beyond = view.cuts.findIndex(({ use, takenUm }) => {
    atUm += takenUm
    return use !== 'rest' && atUm > restUm
  })
  const cuts = beyond < 0 ? view.cuts : view.cuts.slice(0, beyond)
  return { ...view, mounted: { ...mounted, restUm }, cuts }
}

function afterAway(view: LineView): LineView {
  const nextDrum = view.ahead[0]?.drum ?? view.nextDrum
  return { ...view, mounted: null, nextDrum, cuts: [], drawing: null, cutsKnown: true }
}

function shortened(view: LineView, takenUm: number): LineView {
  if (!view.mounted) return view
  const restUm = Math.max(0, view.mounted.restUm - takenUm)
  return { ...view, mounted: { ...view.mounted, restUm, outerMark: null } }
}

/** The same cuts so much further inward: their marks move, their lengths do not. */
function shifted(cuts: FloorCut[], byUm: number): FloorCut[] {
  if (byUm === 0) return cuts
  return cuts.map((cut) => {
    const { markOuter, markInner, markUnit } = cut
    if (markOuter === null || markInner === null) return cut
    const by = (markDirection(cut) * byUm) / umOfMark(cut)
    const row = { ...cut.row, mark: `${(markInner + by).toFixed(1)} ${markUnit ?? 'm'}` }
    return {
      ...cut,
      row,
      markOuter: tenth(markOuter + by),
      markInner: tenth(markInner + by),
      asShown: bodyBeyond(cut.asShown, by),
    }
  })
}

function bodyBeyond(body: CommandBody, by: number): CommandBody {
  if (body.kind !== 'cut-pieces') return body
  const beyond = (mark: number | null) => (mark === null ? null : tenth(mark + by))
  const pieces = body.pieces.map((piece) => ({
    ...piece,
    markOuter: beyond(piece.markOuter),
    markInner: beyond(piece.markInner),
  }))
  return { ...body, pieces }
}

function tenth(mark: number): number {
  return Math.round(mark * 10) / 10
}

/** Which of the cuts lie over a place, true µm inward of the outer end: what a fault found there spoils. */
export function cutsOver(cuts: FloorCut[], fromUm: number, toUm: number): number[] {
  let at = 0
  const over: number[] = []
  cuts.forEach((cut, i) => {
    if (at <= toUm && at + cut.takenUm >= fromUm) over.push(i)
    at += cut.takenUm
  })
  return over
}
