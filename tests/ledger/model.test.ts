import fc from 'fast-check'
import { beforeAll, describe, expect, it } from 'vitest'
import { applyEvent } from '../../src/ledger/apply.ts'
import type { CommandBody } from '../../src/ledger/command.ts'
import { decide } from '../../src/ledger/decide.ts'
import { serialOf } from '../../src/ledger/serial.ts'
import { LedgerState } from '../../src/ledger/state.ts'
import type { PlanInput } from '../../src/plan/plan-input.ts'
import { away, demoWorks, Hall, mount, piece, received } from './hall.ts'
import { CELL_UM, PaintedHall } from './painted.ts'
import { partOf, rowsOf } from './parts.ts'

let works: PlanInput
beforeAll(async () => {
  works = await demoWorks()
})

const DRUMS = ['D1', 'D2', 'D3', 'N1', 'N2', 'N3', 'N4']
const LINES = ['RW-1', 'RW-2']

const drum = fc.constantFrom(...DRUMS)
const line = fc.constantFrom(...LINES)
const cells = fc.integer({ min: 1, max: 160 })
const number = fc.integer({ min: 1, max: 40 }).map(String)

/** What may be tried; most of it can be done at some time only. */
const attempt = fc.oneof(
  {
    weight: 2,
    arbitrary: fc.record({ do: fc.constant('receive'), drum, cells: fc.integer({ min: 100, max: 900 }) }),
  },
  { weight: 5, arbitrary: fc.record({ do: fc.constant('mount'), drum, line }) },
  { weight: 2, arbitrary: fc.record({ do: fc.constant('away'), drum }) },
  {
    weight: 8,
    arbitrary: fc.record({
      do: fc.constant('cut'),
      drum,
      line,
      pieces: fc.array(fc.record({ cells, trim: fc.integer({ min: 0, max: 4 }), ordered: fc.boolean() }), {
        minLength: 1,
        maxLength: 4,
      }),
    }),
  },
  {
    weight: 4,
    arbitrary: fc.record({
      do: fc.constant('off'),
      drum,
      line,
      cells,
      use: fc.constantFrom('scrap', 'trim', 'sample'),
    }),
  },
  { weight: 3, arbitrary: fc.record({ do: fc.constant('wind'), drum, line, cells, newDrum: drum }) },
  {
    weight: 1,
    arbitrary: fc.record({ do: fc.constant('rest'), drum, times: fc.constantFrom(0, 0.5, 2, 4) }),
  },
  { weight: 1, arbitrary: fc.record({ do: fc.constant('run out'), drum, cells }) },
  { weight: 1, arbitrary: fc.record({ do: fc.constant('hold'), drum, held: fc.boolean() }) },
  { weight: 2, arbitrary: fc.record({ do: fc.constant('spoil'), number }) },
  { weight: 4, arbitrary: fc.record({ do: fc.constant('ship'), number }) },
  { weight: 4, arbitrary: fc.record({ do: fc.constant('return'), number }) },
  {
    weight: 4,
    arbitrary: fc.record({
      do: fc.constant('inspect'),
      number,
      verdict: fc.constantFrom('stock', 'shelf', 'scrap'),
      newDrum: drum,
    }),
  },
  { weight: 1, arbitrary: fc.record({ do: fc.constant('test'), number, passed: fc.boolean() }) },
) as fc.Arbitrary<Attempt>

type Attempt =
  | { do: 'receive'; drum: string; cells: number }
  | { do: 'mount'; drum: string; line: string }
  | { do: 'away'; drum: string }
  | { do: 'cut'; drum: string; line: string; pieces: { cells: number; trim: number; ordered: boolean }[] }
  | { do: 'off'; drum: string; line: string; cells: number; use: 'scrap' | 'trim' | 'sample' }
  | { do: 'wind'; drum: string; line: string; cells: number; newDrum: string }
  | { do: 'rest'; drum: string; times: number }
  | { do: 'run out'; drum: string; cells: number }
  | { do: 'hold'; drum: string; held: boolean }
  | { do: 'spoil' | 'ship' | 'return'; number: string }
  | { do: 'inspect'; number: string; verdict: 'stock' | 'shelf' | 'scrap'; newDrum: string }
  | { do: 'test'; number: string; passed: boolean }

/** How each shift begins. */
const MORNING: [Attempt, number][] = [
  [{ do: 'receive', drum: 'D1', cells: 900 }, 9],
  [{ do: 'receive', drum: 'D2', cells: 700 }, 9],
  [{ do: 'mount', drum: 'D1', line: 'RW-1' }, 9],
  [{ do: 'mount', drum: 'D2', line: 'RW-2' }, 9],
]

const serial = (n: string) => serialOf('31', Number(n))

/** Aimed at what is there: a drum on a line for what is done on a line, a piece that there is. Else as it came. */
function aimed(painted: PaintedHall, a: Attempt, nth: number): Attempt {
  const pick = <T>(of: T[]): T | undefined => of[nth % of.length]
  if ('number' in a && painted.pieces.size > 0) {
    const from = { return: ['shipped'], inspect: ['returned'] }[a.do as string] ?? ['hall', 'shelf']
    const fit = [...painted.pieces].filter(([, p]) => from.includes(p.where))
    return { ...a, number: pick(fit)?.[0] ?? a.number }
  }
  if (a.do === 'receive' || a.do === 'test' || !('drum' in a)) return a
  const onLine = 'line' in a && a.do !== 'mount'
  const fit = [...painted.drums].filter(([, d]) => d.cells.length > 0 && (d.line !== null) === onLine)
  const [drum, found] = pick(fit) ?? []
  if (!drum) return a
  return { ...a, drum, ...(onLine ? { line: found?.line ?? a.line } : {}) } as Attempt
}

/** What the painted hall says to it, and the command that says the same to the ledger. */
function both(painted: PaintedHall, a: Attempt): { can: boolean; body: CommandBody } {
  const lengthUm = 'drum' in a && 'cells' in a ? painted.lengthUm(a.drum, a.cells) : 0
  switch (a.do) {
    case 'receive':
      return { body: received(a.drum, a.cells / 100), can: painted.receive(a.drum, a.cells) }
    case 'mount':
      return { body: mount(a.drum, a.line), can: painted.mount(a.drum, a.line) }
    case 'away':
      return { body: away(a.drum), can: painted.away(a.drum) }
    case 'cut': {
      const order = (ordered: boolean) => (ordered ? { order: '7105', orderLine: 1 } : {})
      const pieces = a.pieces.map(({ cells: n, trim, ordered }) =>
        piece(1, {
          ...order(ordered),
          measuredUm: painted.lengthUm(a.drum, n),
          trimUm: painted.lengthUm(a.drum, trim),
        }),
      )
      const body: CommandBody = { kind: 'cut-pieces', drum: a.drum, line: a.line, mounting: null, pieces }
      return { body, can: painted.cut(a.drum, a.line, a.pieces) }
    }
    case 'off': {
      const body: CommandBody = {
        kind: 'cut-off',
        drum: a.drum,
        line: a.line,
        lengthUm,
        use: a.use,
        cause: 'end',
      }
      return { body, can: painted.cutOff(a.drum, a.line, a.cells, a.use) }
    }
    case 'wind': {
      const { drum: from, line: at, newDrum } = a
      const body: CommandBody = {
        kind: 'wind-off',
        drum: from,
        line: at,
        newDrum,
        lengthUm,
        putup: 'PD-500',
        place: 'R',
      }
      return { body, can: painted.windOff(from, at, a.cells, newDrum) }
    }
    case 'rest': {
      const cell = painted.drums.get(a.drum)?.cells[0]
      // a cell stays a whole number of micrometres
      const times = a.times === 0.5 && (cell?.trueUm ?? 0) < CELL_UM / 8 ? 2 : a.times
      const restUm = painted.lengthUm(a.drum, painted.drums.get(a.drum)?.cells.length ?? 0)
      const how = times === 0 ? 'ran out' : 'counter'
      const body: CommandBody = {
        kind: 'measure-rest',
        drum: a.drum,
        newRestUm: restUm * times,
        uncUm: 5000,
        how,
      }
      // no rest is twenty times what its strip measured when it came in
      const strip = painted.strips.get(cell?.strip ?? '') ?? []
      const far = restUm * times > 20 * strip.length * CELL_UM
      return { body, can: !far && painted.stretch(a.drum, times) }
    }
    case 'run out': {
      const left = Math.min(a.cells, painted.drums.get(a.drum)?.cells.length ?? 0)
      const body: CommandBody = {
        kind: 'measure-rest',
        drum: a.drum,
        newRestUm: painted.lengthUm(a.drum, left),
        uncUm: 5000,
        how: 'ran out',
      }
      return { body, can: painted.runOut(a.drum, left) }
    }
    case 'hold': {
      const body: CommandBody = a.held
        ? { kind: 'hold-drum', drum: a.drum, status: 'qc_hold', reason: 'test' }
        : { kind: 'release-drum', drum: a.drum, reason: 'test' }
      return { body, can: painted.hold(a.drum, a.held) }
    }
    case 'test':
      return {
        body: { kind: 'test-piece', serial: serial(a.number), figures: [], passed: a.passed },
        can: painted.test(a.number, a.passed),
      }
    default:
      return bothOfPiece(painted, a)
  }
}

function bothOfPiece(
  painted: PaintedHall,
  a: Extract<Attempt, { do: 'spoil' | 'ship' | 'return' | 'inspect' }>,
): { can: boolean; body: CommandBody } {
  const of = { serial: serial(a.number) }
  const here = ['hall', 'shelf']
  switch (a.do) {
    case 'spoil':
      return {
        body: { kind: 'spoil-piece', ...of, cause: 'spoiled' },
        can: painted.move(a.number, here, 'scrapped'),
      }
    case 'ship':
      return {
        body: { kind: 'ship-pieces', shipment: 'S1', serials: [of.serial] },
        can: painted.move(a.number, here, 'shipped'),
      }
    case 'return':
      return {
        body: { kind: 'return-piece', ...of, reason: 'x' },
        can: painted.move(a.number, ['shipped'], 'returned'),
      }
    case 'inspect': {
      const { verdict, newDrum } = a
      const body: CommandBody = {
        kind: 'inspect-return',
        ...of,
        verdict,
        newDrum,
        putup: null,
        place: 'R',
        cause: null,
      }
      if (verdict === 'stock') return { body, can: painted.restock(a.number, newDrum) }
      if (verdict === 'shelf') return { body, can: painted.shelveReturn(a.number) }
      return { body, can: painted.move(a.number, ['returned'], 'scrapped') }
    }
  }
}

describe('random shifts', () => {
  it('the ledger and a hall of painted centimetres come to the same', () => {
    let done = 0
    let refusals = 0
    fc.assert(
      fc.property(
        fc.array(fc.tuple(attempt, fc.nat(9)), { minLength: 30, maxLength: 90, size: 'max' }),
        (attempts) => {
          const hall = new Hall(works)
          const painted = new PaintedHall()
          for (const [came, nth] of [...MORNING, ...attempts]) {
            const a = nth < 8 ? aimed(painted, came, nth) : came
            const { can, body } = both(painted, a)
            const part = partOf(hall.state, body)
            const outcome = hall.try(body)
            if (can !== (typeof outcome !== 'string'))
              throw new Error(`${JSON.stringify(a)}: ${typeof outcome === 'string' ? outcome : 'booked'}`)
            // on the part of the state that it names, a command is decided alike
            expect(decidedOn(part, hall, body)).toEqual(outcome)
            if (can) done++
            else refusals++
            expect(hall.broken()).toEqual([])
            expect(painted.differs(hall.state, serial)).toEqual([])
          }
          // what the events add up to is what was kept all along
          const again = new LedgerState()
          for (const event of hall.events) applyEvent(again, event)
          expect(rowsOf(again)).toEqual(rowsOf(hall.state))
        },
      ),
      { seed: 6, numRuns: 100 },
    )
    // a test of refusals only would prove nothing
    expect(done).toBeGreaterThan(2000)
    expect(refusals).toBeGreaterThan(2000)
  }, 300_000)
})

function decidedOn(part: LedgerState, hall: Hall, body: CommandBody): unknown {
  try {
    return decide(part, hall.command(body), hall.context)
  } catch (error) {
    return (error as Error).message
  }
}
