import type { CommandBody, WantedPiece } from '../../../ledger/command.ts'
import { UM_PER_FT, UM_PER_M } from '../../../quantity/length.ts'
import type { FloorCut, FloorView } from '../../../works/floor-api.ts'

/** What a person typed over what was expected; empty where it is as shown. */
export interface TypedCut {
  counter: string
  mark: string
  seen: string
  place: string
}

export const NOTHING_TYPED: TypedCut = { counter: '', mark: '', seen: '', place: '' }

/** What should be read at the cut: by the counter, or what is measured off at a bench; and the mark where one is printed. */
export interface ExpectedCut {
  counterM: number
  mark: number | null
}

export function expectedOf(cut: FloorCut): ExpectedCut {
  const piece = firstPiece(cut)
  // a trim that is cut off after the piece lies beyond the piece's own mark
  return {
    counterM: piece?.counterM ?? cut.presetM ?? cut.takenUm / UM_PER_M,
    mark: piece ? piece.markInner : cut.markInner,
  }
}

/** A typed figure; a comma is a decimal mark where someone writes one. NaN where it is none. */
export function figureOf(text: string): number {
  const bare = text.trim().replace(',', '.')
  return /^-?\d{1,9}(\.\d{0,6})?$/.test(bare) ? Number(bare) : Number.NaN
}

/**
 * By how much the cut lies further inward than expected, true µm: by the counter where it was typed, else by the mark.
 * Null where nothing of both was typed, NaN where what was typed is no figure.
 */
function beyondUm(cut: FloorCut, typed: TypedCut, errorRatio: number): number | null {
  const { counterM, mark } = expectedOf(cut)
  if (typed.counter !== '')
    return Math.round(((figureOf(typed.counter) - counterM) * UM_PER_M) / (1 + errorRatio))
  if (typed.mark !== '' && mark !== null)
    return Math.round((figureOf(typed.mark) - mark) * markDirection(cut) * umOfMark(cut))
  return null
}

/** What to expect of the one that was not typed: both move together, and can be typed over apart. */
export function followedBy(cut: FloorCut, typed: TypedCut, errorRatio: number): ExpectedCut {
  const expected = expectedOf(cut)
  const beyond = beyondUm(cut, typed, errorRatio)
  if (beyond === null || Number.isNaN(beyond)) return expected
  return {
    counterM: expected.counterM + (beyond * (1 + errorRatio)) / UM_PER_M,
    mark: expected.mark === null ? null : expected.mark + (markDirection(cut) * beyond) / umOfMark(cut),
  }
}

export type CutRecord = { body: CommandBody; differs: boolean; needsPlace: boolean } | { wrong: string }

/**
 * What is booked: as shown, or with what was typed over it. `times` equal coils are one record; then nothing may be
 * typed, since it would not be known of which.
 */
export function cutRecord(view: FloorView, typed: TypedCut, times: number): CutRecord {
  const cut = view.cuts[0]
  if (!cut) return { wrong: 'Nothing is to be cut.' }
  const beyond = beyondUm(cut, typed, view.errorRatio)
  if (Number.isNaN(beyond)) return { wrong: 'The reading is no figure.' }
  if (typed.mark !== '' && Number.isNaN(figureOf(typed.mark))) return { wrong: 'The mark is no figure.' }
  if (beyond !== null && cut.takenUm + beyond <= 0) return { wrong: 'By this reading nothing was run.' }
  const body = cut.asShown
  if (body.kind === 'cut-pieces') {
    const pieces = runPieces(view.cuts, times)
    const first = pieces[0]
    if (!first || pieces.length < times) return { wrong: 'There are not so many equal coils.' }
    const differs = beyond !== null || typed.seen.trim() !== ''
    if (!differs) return { body: { ...body, pieces }, differs, needsPlace: false }
    if (times > 1) return { wrong: 'What differs is typed for one coil at a time.' }
    const one = asTyped(view, cut, first, typed, beyond ?? 0)
    return { body: { ...body, pieces: [one] }, differs, needsPlace: false }
  }
  return otherRecord(cut, typed, beyond)
}

function otherRecord(cut: FloorCut, typed: TypedCut, beyond: number | null): CutRecord {
  const body = cut.asShown
  const differs = beyond !== null
  const lengthUm = cut.takenUm + (beyond ?? 0)
  if (body.kind === 'cut-off')
    return { body: { ...body, lengthUm: differs ? lengthUm : body.lengthUm }, differs, needsPlace: false }
  if (body.kind === 'wind-off') {
    const place = typed.place.trim() || body.place
    const length = differs ? lengthUm : body.lengthUm
    return { body: { ...body, lengthUm: length, place }, differs, needsPlace: place === '' }
  }
  return { body, differs: false, needsPlace: false }
}

function asTyped(
  view: FloorView,
  cut: FloorCut,
  piece: WantedPiece,
  typed: TypedCut,
  beyond: number,
): WantedPiece {
  const followed = followedBy(cut, typed, view.errorRatio)
  const measuredUm = piece.measuredUm + beyond
  const rounded = (value: number | null) => (value === null ? null : Math.round(value * 1000) / 1000)
  return {
    ...piece,
    measuredUm,
    // both parts of the uncertainty are independent: sum of squares (GUM, JCGM 100:2008, 5.1.2)
    uncUm: Math.round(Math.hypot(view.lengthUncRatio * measuredUm, view.lengthUncUm)),
    // nothing counts at a bench
    counterM:
      piece.counterM === null
        ? null
        : typed.counter !== ''
          ? figureOf(typed.counter)
          : rounded(followed.counterM),
    markInner: typed.mark !== '' ? figureOf(typed.mark) : rounded(followed.mark),
    inspection: typed.seen.trim() || piece.inspection,
  }
}

/** The entries of `times` equal coils from the first cut on. */
function runPieces(cuts: FloorCut[], times: number): WantedPiece[] {
  const own = cuts[0]?.asShown.kind === 'cut-pieces' ? cuts[0].asShown.pieces : []
  if (own.length >= times) return own.slice(0, times)
  return cuts.slice(0, times).flatMap((cut) => firstPiece(cut) ?? [])
}

function firstPiece(cut: FloorCut): WantedPiece | null {
  return cut.asShown.kind === 'cut-pieces' ? (cut.asShown.pieces[0] ?? null) : null
}

/** Numbers of the jacket print that rise inward (1) or fall (-1). */
export function markDirection({ markOuter, markInner }: FloorCut): 1 | -1 {
  return markOuter !== null && markInner !== null && markInner < markOuter ? -1 : 1
}

/** True µm of one unit of the print. */
export function umOfMark({ markUnit }: FloorCut): number {
  return markUnit === 'ft' ? UM_PER_FT : UM_PER_M
}
