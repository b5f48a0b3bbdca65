import { describe, expect, it } from 'vitest'
import { firstFitDecreasing } from '../../bench/baselines/first-fit.ts'
import { generateWorks } from '../../bench/generate-works.ts'
import type { Plan } from '../../src/plan/plan.ts'
import { verifyPlan } from '../../src/plan/verify.ts'
import type { Works } from '../../src/works/works.ts'
import { checkValue } from '../data/check-value.ts'
import { planned } from '../plan/planned.ts'
import { SMALL } from './works.ts'

/** A works in which nothing is lost: so many drums of one length, so many pieces of whole metres. */
function cuttingStock(drumM: number, drums: number, pieces: { lengthM: number; qty: number }[]): Works {
  const { works } = generateWorks({ ...SMALL, seed: 3 })
  const cable = works.cables.find((c) => c.odMm > 5.2)!
  const [drum] = works.drums.filter((d) => d.cable === cable.cable && d.kind === 'process_drum')
  const [bulk] = works.orders.filter((o) => o.kind === 'bulk')
  const id = (i: number) => `D${i + 1}`
  const bookUm = drumM * 1e6
  return {
    ...works,
    site: {
      ...works.site,
      cutRules: {
        lengthGuardRatio: 0,
        pieceTrimUm: 0,
        leadTrimUm: 0,
        faultMarginUm: 0,
        minCleanSegmentUm: 0,
        outerEndLossProcessDrumUm: 0,
        outerEndLossRemnantUm: 0,
        innerEndLossProcessDrumUm: 0,
        uncappedEndCutUm: 0,
      },
    },
    putups: works.putups.map((p) => ({ ...p, barrelMm: Math.max(p.barrelMm, cable.barrelMinMm) })),
    faults: [],
    drums: Array.from({ length: drums }, (_, i) => ({
      ...drum!,
      drum: id(i),
      bookUm,
      grossKg: 200,
      status: 'free' as const,
      endCaps: 'both' as const,
      putup: 'PR-1200',
    })),
    marks: Array.from({ length: drums }, (_, i) => ({
      drum: id(i),
      segment: 1,
      fromUm: 0,
      toUm: bookUm,
      markFrom: 0,
      markTo: drumM,
      printUnit: 'm' as const,
    })),
    orders: pieces.map(({ lengthM, qty }, i) => ({
      ...bulk!,
      order: String(i + 1),
      line: 1,
      cable: cable.cable,
      qty,
      lengthUm: lengthM * 1e6,
      lengthTyped: String(lengthM),
      unit: 'm' as const,
      putup: 'WD-1100',
      singleLength: true,
      minPieceUm: null,
      maxParts: null,
      sameLotGroup: null,
      tolMinusPct: 0,
      tolPlusPct: 0,
      dueDate: '2031-05-20',
      priceEur: lengthM * qty,
    })),
  }
}

/** Of 219 rolls that the example asks for. */
const MOST_MISSING = 3

async function soundPlan(works: Works, clockSeconds: number): Promise<Plan> {
  const plan = await planned(works, clockSeconds)
  expect(verifyPlan(works, plan).broken).toEqual([])
  return plan
}

const missing = (plan: Plan) => plan.unserved.reduce((sum, u) => sum + u.pieces, 0)

// classic paper-roll cutting stock: 73 masters of 5600 mm are enough and 72 are not; here a millimetre is a tenth of a metre
describe('the paper-roll example', () => {
  const { inputs, expected } = checkValue<{ L: number; w: number[]; q: number[] }, { opt: number }>(
    'or.csp.5600',
  )
  const pieces = inputs.w.map((w, i) => ({ lengthM: w / 10, qty: inputs.q[i]! }))

  it('is all but cut from as many drums as the published optimum, and the bound allows it all', async () => {
    const plan = await soundPlan(cuttingStock(inputs.L / 10, expected.opt, pieces), 5)
    process.stdout.write(`paper rolls: ${missing(plan)} pieces missing on ${expected.opt} drums\n`)
    expect(plan.bound.unservedMicro).toBe(0)
    // the optimum itself is not always met; how often is measured in bench/
    expect(missing(plan)).toBeLessThanOrEqual(MOST_MISSING)
  })

  it('cannot be cut from one drum less', async () => {
    const plan = await soundPlan(cuttingStock(inputs.L / 10, expected.opt - 1, pieces), 8)
    expect(missing(plan)).toBeGreaterThan(0)
    // by length alone 72.7 masters are needed, so that a bound has to tell
    expect(plan.bound.unservedMicro).toBeGreaterThan(0)
    expect(plan.bound.unservedMicro).toBeLessThanOrEqual(plan.unservedMicro)
  })
})

// Falkenauer u120_00 of OR-Library: optimum 48, first-fit decreasing needs 49
describe('the bin-packing instance u120_00', () => {
  const { inputs, expected } = checkValue<{ cap: number; items: number[] }, { opt: number; ffd: number }>(
    'or.bpp.u120_00',
  )
  const pieces = [...new Set(inputs.items)].map((lengthM) => ({
    lengthM,
    qty: inputs.items.filter((x) => x === lengthM).length,
  }))

  it('takes first-fit decreasing exactly one drum more', () => {
    const unserved = (drums: number) =>
      firstFitDecreasing(cuttingStock(inputs.cap, drums, pieces)).unserved.length
    expect(unserved(expected.ffd)).toBe(0)
    expect(unserved(expected.ffd - 1)).toBeGreaterThan(0)
  })
})
