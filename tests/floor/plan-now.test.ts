import { describe, expect, it } from 'vitest'
import { originsOf } from '../../src/ledger/plan-floor.ts'
import { hasCuts, type OpenMounting, type PlacedPlan, planNow } from '../../src/ledger/plan-now.ts'
import { planStanding } from '../../src/ledger/repair-order.ts'
import { seededRandom } from '../../src/plan/random.ts'
import { Book } from './book.ts'
import { demoPlan, faultAt } from './hall.ts'

const { input, plan } = await demoPlan()

class Run {
  readonly book = new Book(input)
  readonly #placed: PlacedPlan = {
    ...{ mountings: plan.mountings, origins: originsOf(this.book.state), orders: input.orders },
  }

  open(): OpenMounting[] {
    return planNow(this.#placed, this.book.state, this.book.now())
  }

  standing() {
    return planStanding(this.open(), plan, this.book.now())
  }

  on(line: string): string | null {
    for (const row of this.book.state.drums.rows()) if (row.mountedOn === line) return row.drum
    return null
  }

  /** Takes off what is on the line and mounts the drum. */
  mount({ drum, line, index }: OpenMounting): void {
    const there = this.on(line)
    if (there === drum) return
    if (there !== null)
      this.book.book({
        ...{ kind: 'put-drum-away', drum: there, line, place: 'A1', endCaps: 'both', markRead: null },
      })
    this.book.book({ kind: 'mount-drum', drum, line, mounting: index + 1 })
  }
}

describe('what remains of a plan', () => {
  it('is the plan itself where nothing happened', () => {
    expect(new Run().open().map(({ index: _, ...mounting }) => mounting)).toEqual(plan.mountings)
  })

  it.each([1, 2, 3])('holds where every cut is as shown, whatever drum is run next (seed %i)', (seed) => {
    const run = new Run()
    const random = seededRandom(seed)
    for (let n = 0; n < 50; n++) {
      const left = run.open().filter(hasCuts)
      // a drum stays on its line until nothing more is to be cut from it
      const next = left.filter((m) => {
        const there = run.on(m.line)
        return there === m.drum || !left.some((l) => l.drum === there && l.line === m.line)
      })
      const chosen = next[Math.floor(random() * next.length)]
      if (!chosen) break
      run.mount(chosen)
      // mounted anew a drum may have lost an end, so what is next is asked for again
      const mounting = run.open().find((m) => m.index === chosen.index)!
      run.book.book(run.book.shown(mounting))
      const { broken, short } = run.standing()
      expect({ n, broken, short }).toEqual({ n, broken: [], short: [] })
    }
  })

  it('keeps pieces as long as they are and lets the next scrap or remnant take up a cut that came out longer', () => {
    const run = new Run()
    const elastic = (use: string) => use === 'scrap' || use === 'remnant'
    const found = run
      .open()
      .find(
        ({ intervals: [, piece, next, after] }) =>
          piece?.use === 'piece' &&
          piece.putup !== null &&
          next?.use === 'piece' &&
          elastic(after?.use ?? ''),
      )!
    run.mount(found)
    run.book.book(run.book.shown(found))
    const [piece, next, after] = run.open().find((m) => m.index === found.index)!.intervals
    const shown = run.book.shown({ ...found, intervals: [piece!, next!, after!] })
    if (shown.kind !== 'cut-pieces') return expect.unreachable('a piece is next')
    const longerUm = 20_000
    const pieces = shown.pieces.map((p) => ({
      ...p,
      ...{ measuredUm: p.measuredUm + longerUm, markOuter: null, markInner: null },
    }))
    run.book.book({ ...shown, pieces })
    const [then, taken] = run.open().find((m) => m.index === found.index)!.intervals
    expect(then!.toUm - then!.fromUm).toBe(next!.toUm - next!.fromUm)
    expect(taken!.toUm - taken!.fromUm).toBe(after!.toUm - after!.fromUm - longerUm)
  })

  it('is cut where the drum stands if that line winds all of it, and else waits for the planned line', () => {
    const winds = (line: string) => new Set(input.site.lines.find((l) => l.id === line)!.takeupPutups)
    const on = (line: string, other: string, all: boolean) =>
      new Run().open().find((m) => {
        const putups = m.intervals.flatMap((i) => (i.use === 'piece' && i.putup ? [i.putup] : []))
        return m.line === line && putups.length > 0 && putups.every((p) => winds(other).has(p)) === all
      })!
    for (const [planned, other, all] of [
      ['RW-1', 'RW-2', true],
      ['RW-2', 'RW-1', false],
    ] as const) {
      const run = new Run()
      const found = on(planned, other, all)
      run.mount({ ...found, line: other })
      const now = run.open().filter((m) => m.drum === found.drum)
      expect(now.map((m) => m.line)).toEqual([all ? other : planned])
    }
  })

  it('ends where a drum ran out, whatever was planned beyond, and what is before it is as planned', () => {
    const run = new Run()
    const inward = (m: OpenMounting) => m.intervals.findLastIndex((i) => i.use === 'scrap')
    const found = run.open().find((m) => inward(m) > 2 && m.intervals[inward(m) - 2]?.use === 'piece')!
    run.mount(found)
    const before = run.open().find((m) => m.index === found.index)!
    const last = before.intervals[inward(before) - 1]!
    expect(last.use).toBe('piece')
    const endUm = Math.round((last.fromUm + last.toUm) / 2)
    run.book.book({
      kind: 'measure-rest',
      ...{ drum: found.drum, newRestUm: endUm, uncUm: 100_000, how: 'ran out' },
    })
    const { intervals } = run.open().find((m) => m.index === found.index)!
    expect(intervals.at(-1)!.toUm).toBe(endUm)
    const kept = inward(before) - 1
    expect(intervals.slice(0, kept)).toEqual(before.intervals.slice(0, kept))
    // the marks of what is left are those of before
    expect(run.book.shown({ ...found, intervals })).toEqual(
      run.book.shown({ ...found, intervals: before.intervals }),
    )
  })

  it('says so where a piece no longer lies in clean cable', () => {
    const run = new Run()
    const found = run.open().find((m) => m.intervals[1]?.use === 'piece')!
    run.mount(found)
    const { fromUm, toUm } = found.intervals[1]!
    const midUm = Math.round((fromUm + toUm) / 2)
    run.book.book(faultAt(found.drum, midUm, found.line))
    expect(run.standing().broken.map((b) => b.rule)).toContain('faults')
  })

  it('lacks a piece that was spoiled', () => {
    const run = new Run()
    const found = run.open().find((m) => m.intervals[1]?.use === 'piece')!
    run.mount(found)
    run.book.book(run.book.shown(found))
    const cut = run.book.book(run.book.shown(run.open().find((m) => m.index === found.index)!))
    if (cut.kind !== 'pieces-cut') return expect.unreachable('a piece was cut')
    run.book.book({ kind: 'spoil-piece', serial: cut.pieces[0]!.serial, cause: 'kinked' })
    const { order, orderLine } = cut.pieces[0]!
    expect(run.standing().short).toEqual([{ order, orderLine }])
  })
})
