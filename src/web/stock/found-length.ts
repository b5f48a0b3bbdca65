import { bookWitness, PRINT_HALF_RATIO, READ_HALF_MARKS, weighedWitness } from '../../measure/drum-witness.ts'
import { rectangular } from '../../measure/uncertainty.ts'
import type { PlanInput } from '../../plan/plan-input.ts'
import { type LengthUm, umFromM } from '../../quantity/length.ts'
import type { Drum } from '../../strip/drum.ts'
import { markAtPlace, type UsableDrum, umPerMark } from '../../strip/usable.ts'
import { typedFigure } from '../../works/receipt-text.ts'

/** What is typed of a drum that was found: its length, the mark at its outer end, or its gross weight. */
export type FoundBy = 'length' | 'mark' | 'weight'

/** What a count says of a drum. */
export interface FoundLength {
  foundUm: LengthUm
  foundUncUm: LengthUm
}

/** The length that follows from what was typed; null where none does. */
export function foundLength(
  drum: Drum,
  by: FoundBy,
  typed: string,
  { cables, usable }: { cables: PlanInput['cables']; usable: readonly UsableDrum[] },
): FoundLength | null {
  const figure = typedFigure(typed)
  if (figure === null) return null
  if (by === 'length') {
    const foundUm = umFromM(figure)
    return { foundUm, foundUncUm: bookWitness({ ...drum, bookUm: foundUm }).standardUm }
  }
  if (by === 'weight') {
    const cable = cables.find((c) => c.cable === drum.cable)
    const witness = cable && weighedWitness({ ...drum, grossKg: figure }, cable)
    return witness ? { foundUm: witness.lengthUm, foundUncUm: witness.standardUm } : null
  }
  return betweenMarks(
    figure,
    usable.find((u) => u.drum.drum === drum.drum),
  )
}

/** From the mark read at the outer end to the one known at the inner end. */
function betweenMarks(mark: number, strip: UsableDrum | undefined): FoundLength | null {
  const inner = strip && markAtPlace(strip, strip.lengthUm)
  if (!strip || !inner || strip.segments.length !== 1) return null
  const perMark = umPerMark(inner.segment)
  const foundUm = Math.round(Math.abs(mark - inner.mark) * perMark)
  const readUm = Math.SQRT2 * rectangular(READ_HALF_MARKS * perMark)
  return { foundUm, foundUncUm: Math.ceil(Math.hypot(readUm, rectangular(PRINT_HALF_RATIO * foundUm))) }
}
