import type { CounterQuestion } from '../measure/counter-report.ts'
import {
  bookWitness,
  loopWitness,
  marksWitness,
  reflectometryWitness,
  turnsWitness,
  weighedWitness,
} from '../measure/drum-witness.ts'
import type { Witness } from '../measure/witness.ts'
import { UM_PER_M } from '../quantity/length.ts'
import type { Drum } from '../strip/drum.ts'
import type { LengthWitnessRow, MoreRecords } from './more-records.ts'
import type { Works } from './works.ts'

/** A piece length to work out the guard for where no bulk order says which, m. */
const USUAL_PIECE_M = 100
const MONTHS_PER_YEAR = 12

/** What a works asks of each of its counters: from the sixteen files and what `more/` adds. */
export function counterQuestions(works: Works, more: MoreRecords): CounterQuestion[] {
  return works.site.lines.map((line) => {
    const takes = (cable: Works['cables'][number]) => cable.odMm >= line.odMinMm && cable.odMm <= line.odMaxMm
    const cables = works.cables.filter(takes)
    const seal = more.seals?.find((s) => s.line === line.id)
    return {
      line: line.id,
      counter: {
        wheelCircMm: line.counter.wheelCircMm,
        pulsesPerTurn: line.counter.pulsesPerTurn,
        stopSdM: line.stopSdM,
      },
      claimedErrorRatio: line.counter.claimedErrorRatio,
      checks: works.counterChecks,
      cables,
      today: works.site.works.todayDate,
      guardInForceRatio: works.site.cutRules.lengthGuardRatio,
      pieceM: middlePieceM(works, new Set(cables.map((c) => c.cable))),
      shipped: cables.map(({ cable }) => ({
        metresPerYear: metresPerYear(works, cable),
        eurPerM: works.costs.materialCostEurM[cable] ?? 0,
      })),
      cuts: more.cuts,
      seal: seal ?? null,
      acceptedRatio: null,
    }
  })
}

/** Half of the ordered bulk metres lie in pieces at least so long. */
function middlePieceM(works: Works, cables: ReadonlySet<string>): number {
  const pieces = works.orders
    .filter((o) => o.kind === 'bulk' && cables.has(o.cable))
    .map((o) => ({ lengthM: o.lengthUm / UM_PER_M, metres: (o.lengthUm / UM_PER_M) * o.qty }))
    .sort((a, b) => a.lengthM - b.lengthM)
  const half = pieces.reduce((sum, p) => sum + p.metres, 0) / 2
  let sum = 0
  for (const { lengthM, metres } of pieces) {
    sum += metres
    if (sum >= half) return lengthM
  }
  return USUAL_PIECE_M
}

/** Shipped metres of a type by the mean of its months, a year, in equal shares among the lines that take it (an estimate: the folder does not say which line ran what). */
function metresPerYear(works: Works, cable: string): number {
  const months = works.monthLedger.filter((m) => m.cable === cable)
  const type = works.cables.find((c) => c.cable === cable)
  if (months.length === 0 || !type) return 0
  const lines = works.site.lines.filter((l) => type.odMm >= l.odMinMm && type.odMm <= l.odMaxMm).length
  const meanM = months.reduce((sum, m) => sum + m.shippedM, 0) / months.length
  return (meanM * MONTHS_PER_YEAR) / lines
}

export interface WitnessedDrum {
  drum: Drum
  witnesses: Witness[]
}

/** Every witness of every drum's length that the works has: book, marks, weight, and the latest row of more/length_witnesses.csv. */
export function witnessedDrums(works: Works, more: MoreRecords): WitnessedDrum[] {
  const cables = new Map(works.cables.map((c) => [c.cable, c]))
  const marks = new Map<string, Works['marks']>()
  for (const segment of works.marks) {
    const known = marks.get(segment.drum)
    if (known) known.push(segment)
    else marks.set(segment.drum, [segment])
  }
  const measured = new Map<string, LengthWitnessRow>()
  for (const row of more.lengthWitnesses ?? []) {
    const known = measured.get(row.drum)
    if (!known || row.measuredDate >= known.measuredDate) measured.set(row.drum, row)
  }
  return works.drums.map((drum) => {
    const cable = cables.get(drum.cable)!
    const row = measured.get(drum.drum)
    const all = [
      bookWitness(drum),
      marksWitness(marks.get(drum.drum) ?? []),
      weighedWitness(drum, cable),
      ...(row ? measuredWitnesses(works, drum, row) : []),
    ]
    return { drum, witnesses: all.filter((w) => w !== null) }
  })
}

function measuredWitnesses(works: Works, drum: Drum, row: LengthWitnessRow): (Witness | null)[] {
  const cable = works.cables.find((c) => c.cable === drum.cable)!
  const putup = works.putups.find((p) => p.putup === drum.putup)
  const { counterUm, counterUncUm, loopOhm, loopUncOhm, tempC, roundTripNs, roundTripUncNs, takeupTurns } =
    row
  return [
    counterUm === null || counterUncUm === null
      ? null
      : { kind: 'counter', lengthUm: counterUm, standardUm: counterUncUm, from: 'counter of a rewind' },
    loopOhm === null || loopUncOhm === null || tempC === null
      ? null
      : loopWitness({ loopOhm, standardOhm: loopUncOhm, tempC }, cable),
    roundTripNs === null || roundTripUncNs === null
      ? null
      : reflectometryWitness({ roundTripNs, standardNs: roundTripUncNs }, cable),
    takeupTurns === null || !putup ? null : turnsWitness(takeupTurns, putup, cable, works.site.putupRules),
  ]
}
