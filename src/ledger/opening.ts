import { bookWitness } from '../measure/drum-witness.ts'
import type { PlanInput } from '../plan/plan-input.ts'
import { groupBy } from '../quantity/group-by.ts'
import { type UsableDrum, usableDrum } from '../strip/usable.ts'
import type { Command, CommandOf } from './command.ts'
import type { StripMark } from './state-rows.ts'

/** Keys of the records by which stock comes in from the works folder: one a drum, so that none comes in twice. */
export function openingKey(drum: string): string {
  return `opening.${drum}`
}

/**
 * Records that book the drums of the folder which the ledger does not know, in the folder's order. The strip's coordinate
 * begins at the drum's outer end and is the planned length of strip/usable.ts; marks and faults lie on it by the same map.
 * @param known drums that the ledger holds or has held
 * @param at ISO 8601, UTC
 */
export function openingCommands(works: PlanInput, known: ReadonlySet<string>, at: string): Command[] {
  const marks = groupBy(works.marks, ({ drum }) => drum)
  const faults = groupBy(works.faults, ({ drum }) => drum)
  return works.drums
    .filter(({ drum }) => !known.has(drum))
    .map((drum) => {
      const usable = usableDrum(
        drum,
        marks.get(drum.drum) ?? [],
        faults.get(drum.drum) ?? [],
        works.site.cutRules,
      )
      return {
        key: openingKey(drum.drum),
        at,
        station: 'server',
        planId: null,
        corrects: null,
        body: receipt(usable),
      }
    })
}

function receipt(usable: UsableDrum): CommandOf<'receive-drum'> {
  const { drum, lengthUm, scale } = usable
  return {
    kind: 'receive-drum',
    drum: drum.drum,
    origin: 'opening',
    cable: drum.cable,
    lot: drum.lot,
    drumKind: drum.kind,
    putup: drum.putup,
    lengthUm,
    lengthUncUm: bookWitness(drum).standardUm,
    lengthHow: scale === 1 ? 'book' : 'marks',
    marks: stripMarks(usable),
    faults: faultsOf(usable),
    rewinds: drum.rewinds,
    grossKg: drum.grossKg,
    tareKg: drum.tareKg,
    endCaps: drum.endCaps,
    place: drum.location,
    status: drum.status,
    reason: drum.status === 'free' ? null : (drum.note ?? 'works folder'),
    receivedDate: drum.receivedDate,
  }
}

/** Segments tile the book length but for half a metre (works folder contract); on the strip they tile it wholly. */
function stripMarks({ segments, scale, lengthUm }: UsableDrum): StripMark[] {
  const tiled: StripMark[] = []
  for (const [i, segment] of segments.entries()) {
    const fromUm = tiled.at(-1)?.toUm ?? 0
    const isLast = i === segments.length - 1
    const toUm = isLast ? lengthUm : Math.min(Math.round(segment.toUm * scale), lengthUm)
    if (toUm <= fromUm) continue
    const { markFrom, markTo, printUnit } = segment
    tiled.push({ fromUm, toUm, markFrom, markTo, printUnit })
  }
  if (tiled.length > 0) return tiled
  return [{ fromUm: 0, toUm: lengthUm, markFrom: null, markTo: null, printUnit: 'none' }]
}

function faultsOf({ zones, lengthUm }: UsableDrum): CommandOf<'receive-drum'>['faults'] {
  const onStrip = (um: number) => Math.min(Math.max(um, 0), lengthUm)
  return zones.map(({ fault, coreFromUm, coreToUm }) => ({
    fault: fault.fault,
    code: fault.code,
    what: fault.what,
    severity: fault.severity,
    fromUm: onStrip(coreFromUm),
    toUm: onStrip(coreToUm),
    uncUm: fault.posUncUm,
    source: fault.positionSource,
    foundAt: fault.foundAt,
    foundDate: fault.foundDate,
  }))
}
