import type { Drum } from '../../src/strip/drum.ts'
import type { Fault } from '../../src/strip/fault.ts'
import type { Works } from '../../src/works/works.ts'
import type { Random } from '../generate/random.ts'

const UM = 1e6

/** Drums that are held, short, heavy, uncapped or all of one lot; faults that overlap, lie on ends or cover a drum. */
export function twistStock(random: Random, works: Works): void {
  if (random.chance(0.02)) {
    clear(works)
    return
  }
  const hard = random.chance(0.3)
  const oneLot = random.chance(0.2)
  for (const drum of works.drums) {
    if (random.chance(hard ? 0.5 : 0.15)) twistDrum(random, works, drum)
    if (oneLot) drum.lot = 'ONE'
  }
  const faults = random.pick([0, 1, 3, 12])
  for (let n = 0; n < faults; n++) addFault(random, works, n)
  if (random.chance(0.1)) for (const fault of works.faults) fault.posUncUm = random.pick([0, 40 * UM])
}

/** No stock at all, which the contract refuses. */
function clear(works: Works): void {
  works.drums = []
  works.marks = []
  works.faults = []
}

function twistDrum(random: Random, works: Works, drum: Drum): void {
  const twists = [
    () => {
      drum.status = random.pick(['qc_hold', 'customer_sample', 'reserved'] as const)
    },
    () => {
      drum.endCaps = random.pick(['none', 'outer_missing', 'inner_missing'] as const)
    },
    () => {
      drum.grossKg = random.pick([0, 24.9, 25, 25.1, 5000])
      drum.tareKg = Math.min(drum.tareKg, drum.grossKg)
    },
    () => {
      drum.kind = drum.kind === 'remnant' ? 'process_drum' : 'remnant'
    },
    () => resize(random, works, drum),
    () => {
      drum.putup = random.pick(works.putups).putup
    },
  ]
  random.pick(twists)()
}

/** Another length, printed anew in one segment: a few micrometres off any grid, or hardly more than its ends. */
function resize(random: Random, works: Works, drum: Drum): void {
  drum.bookUm = random.pick([1, 100_000, 5_500_000, 9_900_000, 10_100_001, 123_456_789, 3_999_999_999])
  works.faults = works.faults.filter((f) => f.drum !== drum.drum)
  works.marks = works.marks.filter((m) => m.drum !== drum.drum)
  const printUnit = random.pick(['m', 'ft', 'none'] as const)
  const span = drum.bookUm / UM / (printUnit === 'ft' ? 0.3048 : 1)
  const start = random.pick([0, 0, 5000.5])
  const marks: [number, number] = random.chance(0.5) ? [start, start + span] : [start + span, start]
  const [markFrom, markTo] = printUnit === 'none' ? [null, null] : marks
  works.marks.push({ drum: drum.drum, segment: 1, fromUm: 0, toUm: drum.bookUm, markFrom, markTo, printUnit })
}

function addFault(random: Random, works: Works, n: number): void {
  const printed = works.marks.filter((m) => m.printUnit !== 'none')
  if (printed.length === 0) return
  const segment = random.pick(printed)
  const { markFrom, markTo } = segment
  const at = (share: number) => markFrom! + share * (markTo! - markFrom!)
  const from = random.pick([0, 1, random.next(), random.next(), random.next()])
  const to = random.pick([from, from, Math.min(1, from + 0.01), random.pick([0, 1])])
  const fault: Fault = {
    fault: `FZ-${n}`,
    drum: segment.drum,
    segment: segment.segment,
    code: random.pick(['SPK', 'LUMP', 'PRT', 'SCF', 'JNT', 'SRL', 'WET'] as const),
    what: null,
    severity: random.pick(['cut_out', 'cut_out', 'downgrade', 'note'] as const),
    markFrom: at(from),
    markTo: at(to),
    positionSource: random.pick(['mark_read', 'counter_only'] as const),
    posUncUm: random.pick([0, 300_000, 1_234_567, 20 * UM]),
    foundAt: null,
    foundDate: works.site.works.todayDate,
  }
  works.faults.push(fault)
}
