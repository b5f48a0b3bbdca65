import fc from 'fast-check'
import type { CutRules } from '../../src/strip/cut-rules.ts'
import type { Drum } from '../../src/strip/drum.ts'
import type { Fault } from '../../src/strip/fault.ts'
import type { MarkSegment } from '../../src/strip/mark-segment.ts'

/** Drums of every kind for property tests: one to three mark segments, rising or falling, metres or feet, faults anywhere. */
export interface AnyDrum {
  drum: Drum
  segments: MarkSegment[]
  faults: Fault[]
  rules: CutRules
}

const cutRules: fc.Arbitrary<CutRules> = fc.record({
  lengthGuardRatio: fc.constant(0.001),
  pieceTrimUm: fc.constant(300_000),
  leadTrimUm: fc.constant(20_000),
  faultMarginUm: fc.integer({ min: 0, max: 2_000_000 }),
  outerEndLossProcessDrumUm: fc.integer({ min: 0, max: 9_000_000 }),
  outerEndLossRemnantUm: fc.integer({ min: 0, max: 2_000_000 }),
  innerEndLossProcessDrumUm: fc.integer({ min: 0, max: 2_000_000 }),
  uncappedEndCutUm: fc.integer({ min: 0, max: 9_000_000 }),
  minCleanSegmentUm: fc.constant(500_000),
})

const severity = fc.constantFrom('cut_out' as const, 'downgrade' as const, 'note' as const)

const segmentSeed = fc.record({
  lengthUm: fc.integer({ min: 1_000_000, max: 900_000_000 }),
  markFrom: fc.integer({ min: 0, max: 5000 }),
  falling: fc.boolean(),
  unit: fc.constantFrom('m' as const, 'ft' as const),
  /** Printed length over book length. */
  ratio: fc.double({ min: 0.95, max: 1.05, noNaN: true }),
})

const faultSeed = fc.record({
  segment: fc.nat(2),
  at: fc.double({ min: 0, max: 1, noNaN: true }),
  long: fc.double({ min: 0, max: 0.2, noNaN: true }),
  posUncUm: fc.integer({ min: 0, max: 3_000_000 }),
  severity,
})

export const anyDrum: fc.Arbitrary<AnyDrum> = fc
  .record({
    kind: fc.constantFrom('process_drum' as const, 'remnant' as const),
    endCaps: fc.constantFrom(...(['both', 'outer_missing', 'inner_missing', 'none'] as const)),
    segments: fc.array(segmentSeed, { minLength: 1, maxLength: 3 }),
    faults: fc.array(faultSeed, { maxLength: 6 }),
    rules: cutRules,
  })
  .map(({ kind, endCaps, segments: seeds, faults, rules }) => {
    const segments: MarkSegment[] = []
    for (const seed of seeds) {
      const fromUm = segments.at(-1)?.toUm ?? 0
      const marks = (seed.lengthUm / (seed.unit === 'ft' ? 304_800 : 1_000_000)) * seed.ratio
      segments.push({
        drum: 'D1',
        segment: segments.length + 1,
        fromUm,
        toUm: fromUm + seed.lengthUm,
        markFrom: seed.markFrom,
        markTo: seed.markFrom + (seed.falling ? -marks : marks),
        printUnit: seed.unit,
      })
    }
    return {
      drum: drumOf(kind, endCaps, segments.at(-1)!.toUm),
      segments,
      faults: faults.map((f, i) => faultOf(f, i, segments)),
      rules,
    }
  })

function drumOf(kind: Drum['kind'], endCaps: Drum['endCaps'], bookUm: number): Drum {
  return {
    drum: 'D1',
    cable: 'T081-50',
    lot: 'L1',
    kind,
    putup: 'PR-1200',
    bookUm,
    rewinds: 0,
    endCaps,
    receivedDate: '2031-01-01',
    location: null,
    status: 'free',
    grossKg: 200,
    tareKg: 130,
    note: null,
  }
}

type FaultSeed = typeof faultSeed extends fc.Arbitrary<infer T> ? T : never

function faultOf(seed: FaultSeed, index: number, segments: MarkSegment[]): Fault {
  const segment = segments[seed.segment % segments.length]!
  const from = segment.markFrom ?? 0
  const span = (segment.markTo ?? 0) - from
  return {
    fault: `F${index + 1}`,
    drum: 'D1',
    segment: segment.segment,
    code: 'SPK',
    what: null,
    severity: seed.severity,
    markFrom: from + span * seed.at,
    markTo: from + span * Math.min(1, seed.at + seed.long),
    positionSource: 'mark_read',
    posUncUm: seed.posUncUm,
    foundAt: null,
    foundDate: '2031-01-01',
  }
}
