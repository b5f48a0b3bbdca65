import type { CableType } from '../../src/cable/cable-type.ts'
import type { RewindingLine } from '../../src/hall/rewinding-line.ts'
import type { Putup } from '../../src/putup/putup.ts'
import { UM_PER_M } from '../../src/quantity/length.ts'
import type { Drum } from '../../src/strip/drum.ts'
import type { Fault } from '../../src/strip/fault.ts'
import type { MarkSegment } from '../../src/strip/mark-segment.ts'
import { printedSpanUm } from '../../src/strip/usable.ts'
import type { Random } from './random.ts'

export interface Stock {
  drums: Drum[]
  marks: MarkSegment[]
  faults: Fault[]
}

export interface StockWanted {
  cable: CableType
  /** Metres on process drums, before faults and end losses. */
  processM: number
  remnants: number
  today: string
  lines: RewindingLine[]
  putups: Putup[]
}

const tenth = (m: number) => Math.round(m * 10) / 10
const um = (m: number) => Math.round(m * UM_PER_M)

/** Process drums and remnants of one cable, with marks of every kind and faults of every severity. */
export function addStock(stock: Stock, random: Random, wanted: StockWanted): void {
  const { cable } = wanted
  const digits = cable.cable.slice(1).replace('-', 'Z')
  const lots = ['A', 'B', 'C'].map((letter, i) => `L${digits}-${3101 + random.whole(0, 2) + 3 * i}${letter}`)
  let leftM = wanted.processM
  while (leftM > 250) {
    const lengthM = leftM < 650 ? tenth(leftM) : Math.min(tenth(leftM), random.whole(420, 1350))
    leftM -= lengthM
    addDrum(stock, random, wanted, random.pick(lots), lengthM)
  }
  for (let i = 0; i < wanted.remnants; i++) addRemnant(stock, random, wanted, random.pick(lots))
}

function addDrum(stock: Stock, random: Random, wanted: StockWanted, lot: string, lengthM: number): void {
  const id = `D${String(stock.drums.length + 1).padStart(4, '0')}`
  const heavy = random.chance(0.08) && wanted.lines.some((l) => l.payoffMaxDrumMm >= 1500 && takes(l, wanted))
  const putup = wanted.putups.find((p) => p.putup === (heavy ? 'PR-1500' : 'PR-1200'))!
  const drum: Drum = {
    drum: id,
    cable: wanted.cable.cable,
    lot,
    kind: 'process_drum',
    putup: putup.putup,
    bookUm: um(lengthM),
    receivedDate: daysBefore(wanted.today, random.whole(5, 160)),
    rewinds: 0,
    location: `A${String(random.whole(1, 14)).padStart(2, '0')}-${random.whole(1, 6)}`,
    status: random.chance(0.06) ? random.pick(['qc_hold', 'customer_sample', 'reserved'] as const) : 'free',
    grossKg: tenth(putup.tareKg + (lengthM * wanted.cable.massKgKm * random.decimal(0.997, 1.003, 4)) / 1000),
    tareKg: putup.tareKg,
    endCaps: endCaps(random),
    note: null,
  }
  stock.drums.push(drum)
  const segments = markSegments(random, drum, lengthM, true)
  stock.marks.push(...segments)
  // what is on the drum is what was printed, whatever the books say
  const printedM = segments.reduce((sum, s) => sum + (printedSpanUm(s) ?? 0) / UM_PER_M, 0)
  drum.grossKg = tenth(drum.tareKg + ((drum.grossKg - drum.tareKg) * printedM) / lengthM)
  const faults = poisson(random, 1.5)
  for (let i = 0; i < faults; i++) addFault(stock, random, drum, segments, lengthM)
}

function addRemnant(stock: Stock, random: Random, wanted: StockWanted, lot: string): void {
  const lengthM = random.chance(0.25) ? random.decimal(5, 10, 1) : random.decimal(12, 95, 1)
  const kg = (lengthM * wanted.cable.massKgKm) / 1000
  const putup = wanted.putups.find(
    (p) =>
      p.kind !== 'process_drum' && p.barrelMm >= wanted.cable.barrelMinMm && p.payloadKg >= Math.max(kg, 10),
  )!
  const drum: Drum = {
    drum: `R${String(stock.drums.length + 1).padStart(4, '0')}`,
    cable: wanted.cable.cable,
    lot,
    kind: 'remnant',
    putup: putup.putup,
    bookUm: um(lengthM),
    receivedDate: daysBefore(wanted.today, random.whole(60, 390)),
    rewinds: random.whole(1, 3),
    location: `R${String(random.whole(1, 14)).padStart(2, '0')}-${random.whole(1, 6)}`,
    status: random.chance(0.06) ? 'reserved' : 'free',
    grossKg: tenth(putup.tareKg + kg),
    tareKg: putup.tareKg,
    endCaps: random.chance(0.1) ? 'none' : 'both',
    note: null,
  }
  stock.drums.push(drum)
  const segments = markSegments(random, drum, lengthM, false)
  stock.marks.push(...segments)
  if (random.chance(0.15)) addFault(stock, random, drum, segments, lengthM)
}

const takes = (line: RewindingLine, { cable }: StockWanted) =>
  cable.odMm >= line.odMinMm && cable.odMm <= line.odMaxMm

function endCaps(random: Random): Drum['endCaps'] {
  const roll = random.next()
  if (roll < 0.12) return 'outer_missing'
  if (roll < 0.16) return 'inner_missing'
  return roll < 0.18 ? 'none' : 'both'
}

/** Rising or falling, in metres or feet, with a restart now and then; some remnants have lost their print. */
function markSegments(random: Random, drum: Drum, lengthM: number, process: boolean): MarkSegment[] {
  if (!process && random.chance(0.1))
    return [
      {
        drum: drum.drum,
        segment: 1,
        fromUm: 0,
        toUm: drum.bookUm,
        markFrom: null,
        markTo: null,
        printUnit: 'none',
      },
    ]
  const printUnit = random.chance(0.15) ? 'ft' : 'm'
  const parts = process && random.chance(0.1) ? [tenth(lengthM * random.decimal(0.3, 0.7, 2))] : []
  const ends = [0, ...parts, lengthM]
  // the print counts a little differently from the books; now and then the books are plainly wrong
  const booked = random.chance(0.04) ? random.decimal(0.975, 0.985, 4) : random.decimal(0.999, 1.001, 4)
  return ends.slice(1).map((toM, i) => {
    const fromM = ends[i]!
    const span = tenth(((toM - fromM) * booked) / (printUnit === 'ft' ? 0.3048 : 1))
    const start = random.pick([0, 0, 1000, 2500, random.whole(100, 4000)])
    const falling = random.chance(0.5)
    const [markFrom, markTo] = falling ? [tenth(start + span), start] : [start, tenth(start + span)]
    return {
      drum: drum.drum,
      segment: i + 1,
      fromUm: um(fromM),
      toUm: um(toM),
      markFrom,
      markTo,
      printUnit,
    }
  })
}

const KINDS = [
  { code: 'SPK', what: 'spark fault, jacket puncture', severity: 'cut_out', longM: [0, 0], share: 0.42 },
  { code: 'LUMP', what: 'diameter over limit', severity: 'cut_out', longM: [0.3, 0.8], share: 0.14 },
  { code: 'JNT', what: 'joint of the inner conductor', severity: 'cut_out', longM: [0.5, 1.4], share: 0.08 },
  { code: 'WET', what: 'wet end', severity: 'cut_out', longM: [1, 3], share: 0.02 },
  { code: 'PRT', what: 'print missing', severity: 'downgrade', longM: [5, 18], share: 0.16 },
  { code: 'SRL', what: 'periodic return loss', severity: 'downgrade', longM: [20, 60], share: 0.06 },
  { code: 'SCF', what: 'jacket scuff', severity: 'note', longM: [2, 5], share: 0.12 },
] as const

function addFault(stock: Stock, random: Random, drum: Drum, segments: MarkSegment[], drumM: number): void {
  const kind = weighted(random)
  const longM = Math.min(random.decimal(kind.longM[0], kind.longM[1], 1), drumM / 4)
  const segment = random.pick(segments)
  const segmentM = (segment.toUm - segment.fromUm) / UM_PER_M
  if (segment.markFrom === null || segment.markTo === null || longM >= segmentM) return
  const perM = (segment.markTo - segment.markFrom) / segmentM
  const atM = random.decimal(0, segmentM - longM, 1)
  const measured = random.chance(0.6)
  const markFrom = tenth(segment.markFrom + perM * atM)
  stock.faults.push({
    fault: `F${String(stock.faults.length + 1).padStart(4, '0')}`,
    drum: drum.drum,
    segment: segment.segment,
    code: kind.code,
    what: kind.what,
    severity: kind.severity,
    markFrom,
    markTo: longM === 0 ? markFrom : tenth(segment.markFrom + perM * (atM + longM)),
    positionSource: measured ? 'mark_read' : 'counter_only',
    // 0.3 m where a mark was read, else 0.5 m and 0.2 % of the way: common practice of the trade
    posUncUm: measured ? 300_000 : um(tenth(0.5 + 0.002 * atM)),
    foundAt: random.pick(['jacketing', 'quality', 'rewind']),
    foundDate: drum.receivedDate,
  })
}

function weighted(random: Random): (typeof KINDS)[number] {
  let roll = random.next()
  for (const kind of KINDS) {
    roll -= kind.share
    if (roll < 0) return kind
  }
  return KINDS[0]
}

/** Knuth's product of uniforms. */
function poisson(random: Random, mean: number): number {
  let product = random.next()
  let count = 0
  while (product > Math.exp(-mean)) {
    product *= random.next()
    count++
  }
  return count
}

export function daysBefore(date: string, days: number): string {
  return new Date(Date.parse(date) - days * 86_400_000).toISOString().slice(0, 10)
}
