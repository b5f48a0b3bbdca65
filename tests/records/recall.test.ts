import { describe, expect, it } from 'vitest'
import type { CommandOf } from '../../src/ledger/command.ts'
import { touches, widened } from '../../src/ledger/recall.ts'
import { seededRandom } from '../../src/plan/random.ts'
import type { DueAnswer, RecallAnswer } from '../../src/works/records-api.ts'
import { M, mount, piece } from '../ledger/hall.ts'
import { away, CM, RecordHall, received } from './hall.ts'

/** One strip as an array of its centimetres, each with the serial or drum that holds it: what a recall must agree with. */
class Painted {
  readonly cm: (string | null)[]
  /** Each serial that ever held it. */
  readonly ever: Set<string>[]

  constructor(lengthCm: number, drum: string) {
    this.cm = new Array(lengthCm).fill(drum)
    this.ever = Array.from({ length: lengthCm }, () => new Set())
  }

  /** Takes so many centimetres off a drum at its outer end. */
  take(drum: string, count: number, outer: 'from' | 'to', name: string | null, isPiece: boolean): void {
    const held = this.cm.flatMap((of, i) => (of === drum ? [i] : []))
    for (const i of outer === 'from' ? held.slice(0, count) : held.slice(-count)) {
      this.cm[i] = name
      if (isPiece && name !== null) this.ever[i]!.add(name)
    }
  }

  touched(from: number, to: number): string[] {
    return [...new Set(this.ever.slice(from, to).flatMap((of) => [...of]))].sort()
  }

  left(drum: string, from: number, to: number): number {
    return this.cm.slice(from, to).filter((of) => of === drum).length
  }
}

const LENGTH_M = 120
/** An order line of the demo. */
const ORDERED = { order: '7105', orderLine: 1 }

/** A strip that is cut at random for a while: coils, scrap, remnants wound off (which turns them), coils that come back as stock. */
async function cutAtRandom(hall: RecordHall, drum: string, seed: number): Promise<Painted> {
  const random = seededRandom(seed)
  const upTo = (most: number) => 1 + Math.floor(random() * most)
  const painted = new Painted(LENGTH_M * 100, drum)
  const drums = [{ drum, outer: 'from' as 'from' | 'to', leftCm: LENGTH_M * 100 }]
  await hall.book(received(drum, LENGTH_M, { lot: `L-${drum}` }))
  for (let step = 0; step < 24; step++) {
    const on = drums[Math.floor(random() * drums.length)]!
    if (on.leftCm < 200) continue
    await hall.book(mount(on.drum))
    const cm = upTo(Math.min(900, on.leftCm - 50))
    const what = random()
    if (what < 0.7) {
      const [serial] = await hall.cut(on.drum, 'RW-1', piece(cm / 100, ORDERED))
      painted.take(on.drum, cm, on.outer, serial!, true)
      on.leftCm -= cm
      if (what < 0.15) await backToStock(hall, serial!, `${drum}-B${step}`, on.outer, cm)
    } else if (what < 0.85) {
      const body = { kind: 'cut-off', drum: on.drum, line: 'RW-1', use: 'scrap', cause: 'fault' } as const
      await hall.book({ ...body, lengthUm: cm * CM })
      painted.take(on.drum, cm, on.outer, null, false)
      on.leftCm -= cm
    } else {
      const newDrum = `${drum}-R${step}`
      const body = {
        kind: 'wind-off',
        drum: on.drum,
        line: 'RW-1',
        newDrum,
        putup: 'PD-500',
        place: 'R01-1',
      } as const
      await hall.book({ ...body, lengthUm: cm * CM })
      painted.take(on.drum, cm, on.outer, newDrum, false)
      on.leftCm -= cm
      drums.push({ drum: newDrum, outer: on.outer === 'from' ? 'to' : 'from', leftCm: cm })
    }
    await hall.book(away(on.drum))
  }
  return painted

  async function backToStock(
    _: RecordHall,
    serial: string,
    newDrum: string,
    outer: 'from' | 'to',
    cm: number,
  ) {
    await hall.book({ kind: 'ship-pieces', shipment: 'S-1', serials: [serial] })
    await hall.book({ kind: 'return-piece', serial, reason: 'wrong type' })
    await hall.book({
      ...{
        kind: 'inspect-return',
        serial,
        verdict: 'stock',
        newDrum,
        putup: 'PD-500',
        place: 'R01-1',
        cause: null,
      },
    })
    for (const [i, of] of painted.cm.entries()) if (of === serial) painted.cm[i] = newDrum
    drums.push({ drum: newDrum, outer: outer === 'from' ? 'to' : 'from', leftCm: cm })
  }
}

describe('recall', () => {
  it('of a stretch finds what a painted strip shows, centimetre by centimetre', async () => {
    const hall = await RecordHall.open()
    const random = seededRandom(11)
    let found = 0
    for (let strip = 0; strip < 4; strip++) {
      const drum = `X${strip}`
      const painted = await cutAtRandom(hall, drum, 100 + strip)
      for (let ask = 0; ask < 25; ask++) {
        const from = Math.floor(random() * (LENGTH_M * 100 - 600))
        const to = from + 1 + Math.floor(random() * 500)
        const url = `/api/records/recall?strip=${drum}&from=${from / 100}&to=${to / 100}`
        const { recall } = await hall.ask<RecallAnswer>(url)
        expect(recall.pieces.map((p) => p.serial).sort()).toEqual(painted.touched(from, to))
        for (const stock of recall.stock)
          expect(stock.toUm - stock.fromUm).toBe(painted.left(stock.drum, from, to) * CM)
        const drumsTouched = new Set(painted.cm.slice(from, to).filter((of) => of?.startsWith('X')))
        expect(new Set(recall.stock.map((s) => s.drum))).toEqual(drumsTouched)
        found += recall.pieces.length
      }
    }
    expect(found).toBeGreaterThan(50)
  }, 60_000)

  it('of a fault counts its uncertainty, of marks 0.3 m', async () => {
    const hall = await RecordHall.open()
    await hall.book(received('Y1', 100))
    await hall.book(mount('Y1'))
    const serials = await hall.cut('Y1', 'RW-1', piece(10), piece(10), piece(10), piece(10))
    const ask = async (query: string) =>
      (await hall.ask<RecallAnswer>(`/api/records/recall?${query}`)).recall.pieces.map((p) => p.serial)
    // mark 1000 + m: 1015 to 1019.6 is 15 to 19.6 m, ± 0.3 m reaches 19.9 m; 1019.8 reaches 20.1 m, the next piece
    expect(await ask('strip=Y1&from=1015&to=1019.6&unit=mark')).toEqual([serials[1]])
    expect((await ask('strip=Y1&from=1019.8&to=1015&unit=mark')).sort()).toEqual([serials[1], serials[2]])
    expect(await ask('strip=Y1&from=15&to=19.8')).toEqual([serials[1]])
    const { body } = await hall.book<'fault-found'>({
      ...{ kind: 'find-fault', drum: 'Y1', code: 'LUMP', severity: 'cut_out', what: null, line: 'RW-1' },
      ...{ signal: false, foundAt: null, place: { by: 'counter', fromUm: 0.1 * M, toUm: 0.1 * M } },
    })
    const fault = body.kind === 'fault-found' ? body.fault : ''
    // found at 40.1 m by counter: ± (0.5 m + 0.2 % of the metres since the last known mark) reaches back over the cut at 40 m
    const answer = await hall.ask<RecallAnswer>(`/api/records/recall?fault=${fault}`)
    expect(answer.recall.pieces.map((p) => p.serial)).toEqual([serials[3]])
    expect(answer.recall.stock.map((s) => s.drum)).toEqual(['Y1'])
    expect(answer.recall.because[0]).toContain(fault)
  })

  it('of a cable type whose mass is off finds its drums that were booked by weight, and leaves the scale itself alone', async () => {
    const hall = await RecordHall.open()
    hall.at = '2031-03-03T06:00:00.000Z'
    await hall.book(received('W1', 100, { lengthHow: 'weight' }))
    await hall.book(received('W2', 100, { lengthHow: 'marks' }))
    await hall.book(received('W3', 100, { lengthHow: 'weight', cable: 'C049-50' }))
    const { cable } = received('W1', 100)
    const due = async () =>
      (await hall.ask<DueAnswer>('/api/records/due')).items.filter((i) => i.what === 'scale' && i.lastCheck)
    const check: CommandOf<'record-check'> = {
      ...{ kind: 'record-check', what: 'scale', subject: 'SC-1', passed: false, figures: [], note: null },
      cable,
    }
    const before = await due()
    hall.at = '2031-03-03T09:00:00.000Z'
    const { body } = await hall.book(check)
    const id = body.kind === 'check-recorded' ? body.check : ''
    const { recall } = await hall.ask<RecallAnswer>(`/api/records/recall?check=${id}`)
    expect(recall.stock.map((d) => d.drum)).toEqual(['W1'])
    expect(recall.because[0]).toContain(`check ${id} of ${cable} with scale SC-1`)
    expect(await due()).toEqual(before)
    // a counter says nothing of a cable's mass
    await expect(hall.book({ ...check, what: 'counter', subject: 'RW-1' })).rejects.toThrow(
      'a tape or a scale',
    )
  })

  it('of a failed check finds what that line made since its last good check, and nothing of another', async () => {
    const hall = await RecordHall.open()
    await hall.book(received('Y1', 100))
    await hall.book(received('Y2', 100))
    await hall.book(mount('Y1', 'RW-1'))
    await hall.book(mount('Y2', 'RW-2'))
    const at = async (hour: number, line: string, drum: string) => {
      hall.at = `2031-03-03T${String(hour).padStart(2, '0')}:00:00.000Z`
      return (await hall.cut(drum, line, piece(5)))[0]!
    }
    const check = async (hour: number, passed: boolean, subject = 'RW-1') => {
      hall.at = `2031-03-03T${String(hour).padStart(2, '0')}:30:00.000Z`
      const { body } = await hall.book({
        ...{ kind: 'record-check', what: 'spark tester', subject, passed, figures: [], note: null },
      })
      return body.kind === 'check-recorded' ? body.check : ''
    }
    await at(6, 'RW-1', 'Y1')
    await check(6, true)
    const suspect = [await at(7, 'RW-1', 'Y1'), await at(8, 'RW-1', 'Y1')]
    await at(8, 'RW-2', 'Y2')
    await check(8, false, 'RW-2')
    const failed = await check(9, false)
    const still = await at(10, 'RW-1', 'Y1')
    const good = await check(11, true)
    await at(12, 'RW-1', 'Y1')
    const { recall, says } = await hall.ask<RecallAnswer>(`/api/records/recall?check=${failed}`)
    expect(recall.pieces.map((p) => p.serial).sort()).toEqual([...suspect, still].sort())
    expect(recall.because[0]).toContain('since the good check')
    expect(recall.because[0]).toContain(`until the good check ${good}`)
    expect(says).toContain('3 pieces are touched (3 in the hall)')
    expect((await hall.ask<RecallAnswer>(`/api/records/recall?check=${good}`)).recall.pieces).toEqual([])
  })

  it('of a lot, a tool and as a file says where each is and what to do', async () => {
    const hall = await RecordHall.open()
    await hall.book(received('Y1', 100, { lot: 'LZ' }))
    await hall.book(mount('Y1'))
    const [a, b, c] = await hall.cut('Y1', 'RW-1', piece(10), piece(25.1, ORDERED), piece(10))
    const shelf = `=cmd "x", y`
    await hall.book({ kind: 'shelve-piece', serial: a!, place: shelf })
    await hall.book({ kind: 'ship-pieces', shipment: 'S-7', serials: [b!] })
    await hall.book({ kind: 'spoil-piece', serial: c!, cause: 'spoiled' })
    const { recall } = await hall.ask<RecallAnswer>('/api/records/recall?lot=LZ')
    expect(recall.pieces.map((p) => [p.serial, p.where])).toEqual([
      [a, 'shelf'],
      [b, 'shipped'],
      [c, 'scrapped'],
    ])
    expect(recall.pieces[1]?.action).toBe('tell D-11 Quellmarth Antennenbau, order 7105, shipment S-7')
    expect(recall.stock).toMatchObject([
      { drum: 'Y1', lengthUm: 54.9 * M, action: 'stop RW-1 and hold the drum' },
    ])
    const csv = (await hall.app.http.inject({ url: '/api/records/recall.csv?lot=LZ' })).body
    expect(csv.split('\r\n')).toHaveLength(6)
    expect(csv).toContain('"on the shelf, =cmd ""x"", y"')
    const byLine = await hall.ask<RecallAnswer>('/api/records/recall?tool=RW-1')
    expect(byLine.recall.pieces).toHaveLength(3)
  })

  it.each([
    ['lot=LZ&tool=T', 400],
    ['', 400],
    ['lot=nowhere', 404],
    ['strip=D001&from=1', 400],
    ['check=CK-000099', 404],
  ])('refuses %s with %d', async (query, status) => {
    const hall = await RecordHall.open()
    await hall.book(received('Y1', 100))
    expect((await hall.app.http.inject({ url: `/api/records/recall?${query}` })).statusCode).toBe(status)
  })
})

describe('a bad stretch', () => {
  it('is widened to either side and never below nought', () => {
    expect(widened({ strip: 'S', fromUm: 50, toUm: 20 }, 30)).toEqual({ strip: 'S', fromUm: 0, toUm: 80 })
  })

  it('that is a point belongs to both pieces that it parts', () => {
    const point = { strip: 'S', fromUm: 10, toUm: 10 }
    expect(touches({ fromUm: 0, toUm: 10 }, point)).toBe(true)
    expect(touches({ fromUm: 10, toUm: 20 }, point)).toBe(true)
    expect(touches({ fromUm: 0, toUm: 10 }, { strip: 'S', fromUm: 10, toUm: 11 })).toBe(false)
  })
})
