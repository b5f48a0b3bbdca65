import type { FloorCut, FloorView } from '../../../works/floor-api.ts'

/**
 * The cut that this station shows as running. It is kept until it is recorded or until a person confirms another one
 * while the line stands: what is read off a screen in mid-run must not change under the eyes.
 */
export interface HeldCut {
  drum: string
  cut: FloorCut
  /** Set by this station itself and not answered by the server yet: the first answer settles it without a question. */
  provisional: boolean
}

/** Smaller differences of a reading cannot be stopped at. */
const SAME_M = 0.0015
const SAME_MARK = 0.15

/** Whether two cuts are run and read alike. */
export function sameCut(a: FloorCut, b: FloorCut): boolean {
  return (
    a.use === b.use &&
    a.row.what === b.row.what &&
    a.row.order === b.row.order &&
    a.row.putup === b.row.putup &&
    a.row.declared === b.row.declared &&
    near(a.presetM, b.presetM, SAME_M) &&
    near(a.takenUm / 1e6, b.takenUm / 1e6, SAME_M) &&
    near(a.markInner, b.markInner, SAME_MARK)
  )
}

function near(a: number | null, b: number | null, by: number): boolean {
  return a === null || b === null ? a === b : Math.abs(a - b) <= by
}

/**
 * What is shown after a new view, and what would be shown instead if a person confirmed it; `first` is the first cut
 * of the view with all that waits booked.
 */
export function heldAfter(
  held: HeldCut | null,
  view: FloorView,
  settled: boolean,
): { held: HeldCut | null; wanted: FloorCut | 'none' | null } {
  const first = view.cuts[0] ?? null
  const drum = view.mounted?.drum ?? null
  const fresh = first && drum !== null ? { drum, cut: first, provisional: !settled } : null
  if (!held || held.drum !== drum || held.provisional) return { held: fresh, wanted: null }
  if (first && sameCut(held.cut, first)) {
    // what is not read off the screen (what is booked, how many are equal) is as the server has it
    return { held: fresh ? { ...fresh, provisional: false } : null, wanted: null }
  }
  return { held, wanted: first ?? 'none' }
}
