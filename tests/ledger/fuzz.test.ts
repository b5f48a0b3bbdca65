import fc from 'fast-check'
import { beforeAll, describe, expect, it } from 'vitest'
import { applyEvent } from '../../src/ledger/apply.ts'
import type { CommandBody } from '../../src/ledger/command.ts'
import { decide } from '../../src/ledger/decide.ts'
import { LedgerState } from '../../src/ledger/state.ts'
import type { PlanInput } from '../../src/plan/plan-input.ts'
import { cut, demoWorks, faultAt, Hall, M, mount, piece, received } from './hall.ts'
import { rowsOf } from './parts.ts'

let works: PlanInput
beforeAll(async () => {
  works = await demoWorks()
})

const um = fc.integer({ min: 1, max: 60 * M })
const pick = fc.nat(1000)

/** A command made of what is there and of any micrometres; null where there is nothing to make it of. */
type Maker = (hall: Hall, lengthUm: number, n: number, other: number) => CommandBody | null

const of = <T>(rows: Iterable<T>, n: number): T | undefined => {
  const all = [...rows]
  return all[n % Math.max(1, all.length)]
}

const running = (hall: Hall, n: number) =>
  of(
    [...hall.state.drums.rows()].filter((d) => d.mountedOn !== null),
    n,
  )

const MAKERS: Maker[] = [
  (hall, lengthUm, n) =>
    received(`D${hall.state.strips.changed().length + 1}`, 20 + (lengthUm % (80 * M)) / M, leads(n)),
  (hall, _um, n, other) => {
    const drum = of(hall.state.drums.rows(), n)
    return drum ? mount(drum.drum, other % 2 ? 'RW-1' : 'RW-2') : null
  },
  (hall, lengthUm, n, other) => {
    const drum = running(hall, n)
    if (!drum) return null
    const bench = hall.state.strips.get(drum.strip)?.cable === 'C028-50'
    const order = bench
      ? { order: '7121', orderLine: 1, count: 1 + (other % 7) }
      : { order: '7105', orderLine: 1 }
    const small = { trimUm: other * 300, measuredUm: lengthUm % (15 * M) || 1 }
    return {
      ...cut(drum.drum, piece(1, { ...order, ...small }), piece(1, small)),
      line: drum.mountedOn ?? '',
    }
  },
  (hall, lengthUm, n, other) => {
    const drum = running(hall, n)
    return drum
      ? {
          ...{ kind: 'wind-off', drum: drum.drum, line: drum.mountedOn ?? '', newDrum: null },
          ...{ lengthUm: other % 5 ? lengthUm : null, putup: 'PD-500', place: 'R' },
        }
      : null
  },
  (hall, lengthUm, n, other) => {
    const drum = running(hall, n)
    return drum
      ? {
          ...{ kind: 'cut-off', drum: drum.drum, line: drum.mountedOn ?? '', cause: 'end' },
          ...{ lengthUm: other % 9 ? lengthUm % (4 * M) || 1 : null, use: other % 2 ? 'scrap' : 'sample' },
        }
      : null
  },
  (hall, _um, n, other) => {
    const drum = of(hall.state.drums.rows(), n)
    if (!drum) return null
    const rest = Math.round((drum.toUm - drum.fromUm) * (0.9 + other / 5000))
    return {
      kind: 'measure-rest',
      drum: drum.drum,
      newRestUm: rest,
      uncUm: 1000,
      how: other % 12 ? 'counter' : 'ran out',
    }
  },
  (hall, lengthUm, n, other) => {
    const stretch = of([...hall.state.stretches.rows()].flat(), n)
    if (!stretch) return null
    const { strip, fromUm } = stretch
    return {
      kind: 'move-cut',
      strip,
      fromUm,
      toUm: Math.max(0, fromUm + (lengthUm % 900_000) - other * 450),
      reason: 'x',
    }
  },
  (hall, lengthUm, n, other) => {
    const row = of(hall.state.pieces.rows(), n)
    if (!row) return null
    const { serial, order, orderLine } = row
    const measuredUm = other % 2 ? row.measuredUm + (lengthUm % 200_000) : row.measuredUm
    return {
      kind: 'correct-piece',
      serial,
      order,
      orderLine,
      measuredUm,
      markOuter: null,
      markInner: null,
      reason: 'x',
    }
  },
  (hall, lengthUm, n, other) => {
    const row = of(
      [...hall.state.pieces.rows()].filter((p) => p.count > 1),
      n,
    )
    if (!row) return null
    const lead = {
      order: '7121',
      orderLine: 1,
      lengthUm,
      tools: [],
      connectorLots: [],
      figures: [],
      passed: true,
    }
    return {
      kind: 'finish-leads',
      from: row.serial,
      leads: Array.from({ length: 1 + (other % 3) }, () => lead),
    }
  },
  ...(['spoil', 'ship', 'return', 'inspect', 'shelve', 'label'] as const).map(
    (what): Maker =>
      (hall, _um, n, other) => {
        const due = { return: 'shipped', inspect: 'returned' }[what as string]
        const fit = [...hall.state.pieces.rows()].filter((p) => due === undefined || p.where === due)
        const row = of(fit, n)
        return row ? ofPiece(what, row.serial, other) : null
      },
  ),
  (hall, lengthUm, n, other) => {
    const drum = of(hall.state.drums.rows(), n)
    return drum ? faultAt(drum.drum, { by: 'counter', fromUm: lengthUm % (9 * M), toUm: other * 1000 }) : null
  },
  (hall, _um, n) => {
    const fault = of(hall.state.faults.rows(), n)?.fault
    const place = { by: 'mark' as const, markFrom: 1000 + (n % 30), markTo: 1001, segment: null }
    return fault === undefined ? null : { kind: 'place-fault', fault, place }
  },
]

function leads(n: number): { cable: string; lot: string } | object {
  return n % 3 === 0 ? { cable: 'C028-50', lot: 'L2' } : {}
}

function ofPiece(
  what: 'spoil' | 'ship' | 'return' | 'inspect' | 'shelve' | 'label',
  serial: string,
  other: number,
): CommandBody {
  switch (what) {
    case 'spoil':
      return { kind: 'spoil-piece', serial, cause: 'dropped' }
    case 'ship':
      return { kind: 'ship-pieces', shipment: 'S1', serials: [serial] }
    case 'return':
      return { kind: 'return-piece', serial, reason: 'x' }
    case 'inspect': {
      const verdict = (['stock', 'shelf', 'scrap'] as const)[other % 3]!
      return {
        kind: 'inspect-return',
        serial,
        verdict,
        newDrum: null,
        putup: 'C-220',
        place: 'R',
        cause: null,
      }
    }
    case 'shelve':
      return { kind: 'shelve-piece', serial, place: 'S' }
    case 'label':
      return { kind: 'print-label', serial, printer: 'P', reason: 'x' }
  }
}

describe('any commands with any micrometres', () => {
  it('conserve every micrometre, are decided alike twice, and add up to the state again', () => {
    const booked = new Map<string, number>()
    const step = fc.tuple(fc.nat(MAKERS.length - 1), um, pick, pick)
    fc.assert(
      fc.property(fc.array(step, { minLength: 80, maxLength: 160, size: 'max' }), (steps) => {
        const hall = new Hall(works)
        for (let n = 1; n <= 4; n++) hall.do(received(`D${n}`, 50 + n, leads(n)))
        for (const [which, lengthUm, n, other] of steps) {
          const body = MAKERS[which]!(hall, lengthUm, n, other)
          if (!body) continue
          const first = decidedBy(hall, body)
          expect(decidedBy(hall, body)).toEqual(first)
          const outcome = hall.try(body)
          expect(outcome).toEqual(first)
          if (typeof outcome !== 'string') booked.set(body.kind, (booked.get(body.kind) ?? 0) + 1)
          expect(hall.broken()).toEqual([])
        }
        const again = new LedgerState()
        for (const event of hall.events) applyEvent(again, event)
        expect(rowsOf(again)).toEqual(rowsOf(hall.state))
      }),
      { seed: 6, numRuns: 100 },
    )
    // each kind was booked, not only refused
    for (const kind of [
      ...([
        'mount-drum',
        'cut-pieces',
        'wind-off',
        'cut-off',
        'measure-rest',
        'move-cut',
        'correct-piece',
      ] as const),
      ...([
        'finish-leads',
        'spoil-piece',
        'ship-pieces',
        'return-piece',
        'inspect-return',
        'find-fault',
      ] as const),
    ])
      expect(booked.get(kind) ?? 0, kind).toBeGreaterThan(20)
  }, 300_000)
})

function decidedBy(hall: Hall, body: CommandBody): unknown {
  try {
    return JSON.parse(JSON.stringify(decide(hall.state, hall.command(body), hall.context)))
  } catch (error) {
    return (error as Error).message
  }
}
