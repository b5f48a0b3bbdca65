import { describe, expect, test } from 'vitest'
import type { OrderLine } from '../../order/order-line.ts'
import type { Plan } from '../../plan/plan.ts'
import type { Interval, Mounting } from '../../strip/cut-plan.ts'
import type { CutRules } from '../../strip/cut-rules.ts'
import type { Drum } from '../../strip/drum.ts'
import type { Fault } from '../../strip/fault.ts'
import { usableDrum } from '../../strip/usable.ts'
import { longestClean, orderAnswers, sourcesByLine, stretchesOf } from './order-answer.ts'

// invented data: nothing here is checked against the world
const M = 1_000_000
const rules: CutRules = {
  lengthGuardRatio: 0.001,
  pieceTrimUm: 0.3 * M,
  leadTrimUm: 0,
  faultMarginUm: 0.25 * M,
  outerEndLossProcessDrumUm: 5 * M,
  outerEndLossRemnantUm: 0.5 * M,
  innerEndLossProcessDrumUm: 0.5 * M,
  uncappedEndCutUm: 2 * M,
  minCleanSegmentUm: 0,
}

function drum(id: string, status: Drum['status'] = 'free'): Drum {
  return {
    ...{ drum: id, cable: 'C110-50', lot: `L${id}`, kind: 'process_drum', putup: 'P', bookUm: 500 * M },
    ...{ receivedDate: '2031-01-01', rewinds: 0, location: null, status, grossKg: 0, tareKg: 0 },
    ...{ endCaps: 'both', note: null },
  }
}

function usable(id: string, faults: Fault[] = [], status: Drum['status'] = 'free') {
  const segment = {
    drum: id,
    segment: 1,
    fromUm: 0,
    toUm: 500 * M,
    markFrom: 0,
    markTo: 500,
    printUnit: 'm' as const,
  }
  return usableDrum(drum(id, status), [segment], faults, rules)
}

function line(order: string, change: Partial<OrderLine> = {}): OrderLine {
  return {
    order,
    line: 1,
    cable: 'C110-50',
    faultsAllowed: 'none',
    printRequired: true,
    ...change,
  } as OrderLine
}

function piece(order: string, fromM: number, toM: number, number = 1, count = 1): Interval {
  return {
    ...{ fromUm: fromM * M, toUm: toM * M, use: 'piece', order, orderLine: 1, piece: number, part: 1, count },
    ...{ declaredUm: (toM - fromM) * M, putup: null },
  }
}

function plan(mountings: Mounting[], unserved: Plan['unserved'] = []): Plan {
  return { mountings, unserved } as unknown as Plan
}

describe('the answer to an order line', () => {
  const mountings = [
    {
      drum: 'D1',
      line: 'RW-1',
      intervals: [piece('7', 5, 105), piece('7', 105, 205, 2), piece('8', 205, 305)],
    },
    { drum: 'D2', line: 'RW-1', intervals: [piece('7', 5, 105, 3)] },
  ]

  test('pieces that lie side by side are one stretch, pieces on another drum are not', () => {
    const sources = sourcesByLine(plan(mountings)).get('7/1')!
    expect(
      stretchesOf(sources).map(({ drum, fromUm, toUm, pieces }) => [drum, fromUm, toUm, pieces]),
    ).toEqual([
      ['D1', 5 * M, 205 * M, 2],
      ['D2', 5 * M, 105 * M, 1],
    ])
  })

  test('covered, partly, not covered and not planned are told apart', () => {
    const unserved = [
      { order: '8', orderLine: 1, pieces: 1, reason: 'No place is left.', offer: null },
      { order: '9', orderLine: 1, pieces: 1, reason: 'Too long.', offer: null },
    ]
    const orders = [line('7'), line('8'), line('9'), line('10')]
    const answers = orderAnswers(orders, plan(mountings, unserved), [usable('D1')])
    expect([...answers.values()].map((a) => a.state)).toEqual([
      'covered',
      'partly',
      'not covered',
      'not planned',
    ])
    expect(answers.get('10/1')?.longest?.drum).toBe('D1')
  })
})

describe('the longest clean stretch for a line', () => {
  const fault: Fault = {
    ...{ fault: 'F1', drum: 'D1', segment: 1, code: 'SCF', what: null, severity: 'downgrade' },
    ...{
      markFrom: 300,
      markTo: 300,
      positionSource: 'mark_read',
      posUncUm: 0,
      foundAt: null,
      foundDate: '2031-01-01',
    },
  }

  test('ends at a fault that the line refuses, and runs over one that it allows', () => {
    const drums = [usable('D1', [fault])]
    // 300 m less the outer end loss of 5 m and the margin of 0.25 m
    expect(longestClean(line('1'), drums)?.lengthUm).toBe(294.75 * M)
    expect(longestClean(line('1', { faultsAllowed: 'downgrade' }), drums)?.lengthUm).toBe(494.5 * M)
  })

  test('is not on a strip that is held, nor on one of another cable', () => {
    expect(longestClean(line('1'), [usable('D1', [], 'qc_hold')])).toBeNull()
    expect(longestClean(line('1', { cable: 'C028-50' }), [usable('D1')])).toBeNull()
  })
})
