import type { CableType } from '../cable/cable-type.ts'
import type { Plan } from '../plan/plan.ts'
import type { PlanInput } from '../plan/plan-input.ts'
import { figureText, lengthText } from '../quantity/length-text.ts'
import { markText } from '../strip/mark-text.ts'
import type { UsableDrum } from '../strip/usable.ts'

const CAPS = {
  both: 'both ends capped',
  outer_missing: 'outer end without cap',
  inner_missing: 'inner end without cap',
  none: 'no caps',
} as const

/** Where the drum is, what is on it and how it lies: the head of a run sheet. */
export function runFacts(
  input: PlanInput,
  plan: Pick<Plan, 'mountings'>,
  index: number,
  usable: UsableDrum,
  cable: CableType,
  /** How the line is set; empty at a bench, or where it cannot be told. */
  settings: [name: string, value: string][],
): [name: string, value: string][] {
  const { drum } = usable
  const mounting = plan.mountings[index]!
  const startUm = mounting.intervals[0]?.fromUm ?? 0
  const endUm = mounting.intervals[mounting.intervals.length - 1]?.toUm ?? usable.lengthUm
  const before = plan.mountings.findIndex((m) => m.drum === mounting.drum)
  const bench = !input.site.lines.some((l) => l.id === mounting.line)
  const netKg = ((endUm - startUm) / 1e9) * cable.massKgKm
  const mass =
    before < index
      ? `about ${figureText(drum.tareKg + netKg, 0)} kg`
      : `${figureText(drum.grossKg, 1)} kg gross, tare ${figureText(drum.tareKg, 1)} kg`
  return [
    ['Drum', `${drum.drum}, ${drum.kind === 'process_drum' ? 'process drum' : 'remnant'} on ${drum.putup}`],
    ['Lot', drum.lot],
    [
      'Stands at',
      before < index ? `here since sheet ${before + 1}` : (drum.location ?? 'place not recorded'),
    ],
    ['Mass', mass],
    [
      'Cable',
      `${cable.cable}, ${figureText(cable.odMm, 2)} mm, ${cable.jacketColour} ${cable.jacketMaterial}`,
    ],
    ['Outer end', outerEnd(usable, startUm, endUm)],
    ['Caps', before < index ? `as sheet ${before + 1} left them` : CAPS[drum.endCaps]],
    [
      'On the drum',
      `${lengthText(endUm - startUm, 'm', 1)}${before < index ? `, from ${lengthText(startUm, 'm', 1)} as received` : ''}`,
    ],
    ...(bench ? ([['Measure', 'with the tape, laid straight']] as [string, string][]) : settings),
    [
      'Rewound',
      `${drum.rewinds} ${drum.rewinds === 1 ? 'time' : 'times'}${drum.note ? `; ${drum.note}` : ''}`,
    ],
  ]
}

function outerEnd(usable: UsableDrum, startUm: number, endUm: number): string {
  const outer = markText(usable, Math.min(startUm + 1, endUm))
  if (!outer) return 'no print at it'
  const segment = usable.segments.find(
    (s) => s.fromUm * usable.scale <= startUm && s.toUm * usable.scale > startUm,
  )
  const falling =
    segment && segment.markFrom !== null && segment.markTo !== null && segment.markTo < segment.markFrom
  return `mark ${outer}, ${falling ? 'falling' : 'rising'} inwards`
}
