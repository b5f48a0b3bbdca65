import { describe, expect, it } from 'vitest'
import { filesAfter, readEventFile } from '../../src/works/event-file.ts'
import { parseWorks } from '../../src/works/parse-works.ts'
import { planFile } from '../../src/works/plan-file.ts'
import { readPlanFile } from '../../src/works/plan-read.ts'
import { hiddenPlan, SMALL } from '../plan-referee/works.ts'
import { kelderwickFiles } from '../works/kelderwick-files.ts'

const bytes = (value: unknown) => new TextEncoder().encode(JSON.stringify(value))
const event = (happened: unknown[], more: object = {}) =>
  readEventFile(bytes({ format: 'lastmetre-event', version: 1, happened, ...more }))

function worksAfter(happened: unknown[]) {
  const result = parseWorks('kelderwick', filesAfter(kelderwickFiles(), event(happened).happened))
  if (!result.ok) throw new Error(JSON.stringify(result.problems))
  return result.works
}

const FAULT = {
  fault: 'F900',
  drum: 'D030',
  segment: 1,
  code: 'LUMP',
  severity: 'cut_out',
  mark_from: 2300,
  mark_to: 2301.5,
  position_source: 'mark_read',
  pos_unc_m: 0.5,
  found_date: '2031-03-03',
}

describe('an event', () => {
  it('adds a fault, takes an order line out, holds a drum', () => {
    const works = worksAfter([
      { kind: 'fault', row: FAULT },
      { kind: 'cancel', order: '7105', line: 1 },
      { kind: 'hold', drum: 'D016' },
    ])
    expect(works.faults.at(-1)).toMatchObject({
      fault: 'F900',
      drum: 'D030',
      markFrom: 2300,
      posUncUm: 500_000,
    })
    expect(works.orders.some((o) => o.order === '7105')).toBe(false)
    expect(works.orders).toHaveLength(119)
    expect(works.drums.find((d) => d.drum === 'D016')!.status).toBe('qc_hold')
  })

  it('adds an order line by the columns of orders.csv', () => {
    const row = {
      order: '9001',
      line: 1,
      market: 'UK',
      customer: '=cmd "x", <b>',
      channel: 'dealer',
      kind: 'bulk',
      cable: 'C110-50',
      qty: 2,
      length: '12.5',
      unit: 'm',
      single_length: 'yes',
      faults_allowed: 'none',
      print_required: 'yes',
      length_definition: 'jacket',
      due_date: '2031-03-04',
      price_eur: 49.95,
    }
    // a cell that a spreadsheet would run is refused like in any works folder
    const hostile = filesAfter(kelderwickFiles(), event([{ kind: 'order', row }]).happened)
    expect(parseWorks('kelderwick', hostile).ok).toBe(false)
    const works = worksAfter([{ kind: 'order', row: { ...row, customer: 'Müller, "Söhne" <b>' } }])
    expect(works.orders.at(-1)).toMatchObject({ order: '9001', qty: 2, customer: 'Müller, "Söhne" <b>' })
  })

  it.each([
    [{ kind: 'hold', drum: 'D999' }, /no drum D999/],
    [{ kind: 'cancel', order: '7105', line: 9 }, /no order line 7105\/9/],
    [{ kind: 'fault', row: { ...FAULT, colour: 'red' } }, /no column colour/],
    [{ kind: 'fault', row: { ...FAULT, __proto__: 1, constructor: 'x' } }, /no column constructor/],
  ])('that speaks of what is not there is refused: %o', (what, why) => {
    expect(() => filesAfter(kelderwickFiles(), event([what]).happened)).toThrow(why)
  })

  it.each([
    '',
    '{',
    '[]',
    '{"format":"lastmetre-event","version":2}',
    '{"format":"lastmetre-event","version":1,"x":1}',
  ])('that is not as described is refused: %s', (text) => {
    expect(() => readEventFile(new TextEncoder().encode(text))).toThrow(/^The event is/)
  })

  it('counts mountings from 1, the plan inside from 0', () => {
    expect(event([], { made: [{ mounting: 3, intervals: 2 }] }).made).toEqual([{ mounting: 2, intervals: 2 }])
  })
})

describe('a plan.json', () => {
  it('is read back as it was written', () => {
    const { works, plan } = hiddenPlan({ ...SMALL, seed: 31 })
    const byCable = works.cables.map((c) => ({
      cable: c.cable,
      costMicro: 10_000,
      boundMicro: -20_000,
      deliveredMicro: 30_000,
    }))
    const read = readPlanFile(bytes(planFile({ ...plan, byCable }, works)), works)
    expect(read.mountings).toEqual(plan.mountings)
    expect(read.unserved.map((u) => [u.order, u.orderLine, u.pieces])).toEqual(
      plan.unserved.map((u) => [u.order, u.orderLine, u.pieces]),
    )
    expect(read.byCable).toEqual(byCable)
    expect(Math.abs(read.unservedMicro - plan.unservedMicro)).toBeLessThanOrEqual(5_000)
  })
})
