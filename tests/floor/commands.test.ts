import { describe, expect, it } from 'vitest'
import type { AsidesAnswer, EventsAnswer, FloorLines } from '../../src/works/floor-api.ts'
import { ask, demoApp } from '../server/harness.ts'
import { Hall } from './hall.ts'

describe('booking', () => {
  it('books commands in order, each once however often it is sent', async () => {
    const hall = await Hall.open()
    const { nextDrum } = await released(hall, 'RW-1')
    const mount = hall.command({ kind: 'mount-drum', drum: nextDrum!.drum, line: 'RW-1', mounting: 1 })
    const wrong = hall.command({ kind: 'mount-drum', drum: 'NO-SUCH', line: 'RW-1', mounting: 1 })
    const [first, refused] = await hall.send([mount, wrong])
    expect(first).toMatchObject({
      repeated: false,
      event: { actor: 'local', body: { kind: 'drum-mounted' } },
    })
    expect(refused).toMatchObject({ refused: { code: 'command-refused' }, aside: null })
    const [again] = await hall.send([mount])
    expect(again).toEqual({ ...first, repeated: true })
  })

  it('keeps what comes too late and cannot be booked for a person, once', async () => {
    const hall = await Hall.open()
    await hall.release()
    const late = hall.command({
      kind: 'put-drum-away',
      drum: 'D001',
      line: 'RW-1',
      place: 'A1',
      endCaps: 'both',
      markRead: null,
    })
    const good = hall.command({ kind: 'move-drum', drum: 'D001', place: 'A2' })
    const [aside, booked] = await hall.send([late, good], true)
    expect(aside).toMatchObject({ refused: { code: 'command-refused' }, aside: expect.any(Number) })
    expect(booked).toMatchObject({ event: { body: { kind: 'drum-moved' } } })
    const [again] = await hall.send([late], true)
    expect(again).toMatchObject({ aside: (aside as { aside: number }).aside })
    const { asides } = (await ask(hall.app, { url: '/api/ledger/asides' })).body as AsidesAnswer
    expect(asides.map((a) => a.commandKind)).toEqual(['put-drum-away'])
    expect(JSON.parse(asides[0]!.commandText)).toEqual(late)
  })

  it('refuses what no station may send, and what is no command', async () => {
    const app = await demoApp()
    const send = (body: object) =>
      ask(app, {
        ...{ method: 'POST', url: '/api/ledger/commands' },
        payload: {
          late: false,
          commands: [
            { key: 'k', at: '2031-03-10T07:00:00.000Z', station: 's', planId: null, corrects: null, body },
          ],
        },
      })
    expect(await send({ kind: 'sign-in', account: 'x' })).toMatchObject({ status: 403 })
    expect(await send({ kind: 'move-drum', drum: '../x', place: 'A' })).toMatchObject({ status: 400 })
    expect(await send({ kind: 'no-such-kind' })).toMatchObject({ status: 400 })
  })

  it('reads what happened in pages', async () => {
    const hall = await Hall.open()
    const { seq } = await hall.release()
    const page = (await ask(hall.app, { url: '/api/ledger/events?after=0&limit=7' })).body as EventsAnswer
    expect(page.events.map((e) => e.seq)).toEqual([1, 2, 3, 4, 5, 6, 7])
    expect(page.next).toBe(7)
    const rest = (await ask(hall.app, { url: `/api/ledger/events?after=${seq - 1}` })).body as EventsAnswer
    expect(rest).toMatchObject({ events: [{ seq, body: { kind: 'plan-released' } }], next: null })
  })
})

describe('the floor', () => {
  it('has every line and cutting bench', async () => {
    const app = await demoApp()
    const { lines } = (await ask(app, { url: '/api/floor/lines' })).body as FloorLines
    const { works } = app.works.current()
    const benches = works.benchHall.benches.filter((b) => b.can.includes('cut')).map((b) => b.id)
    expect(lines.map((l) => l.line)).toEqual([...works.site.lines.map((l) => l.id), ...benches])
    expect(await ask(app, { url: '/api/floor?line=NO-SUCH' })).toMatchObject({ status: 404 })
  })

  it('has nothing to cut before a plan is released', async () => {
    const hall = await Hall.open()
    const view = await hall.view('RW-1')
    expect(view).toMatchObject({
      plan: null,
      mounted: null,
      nextDrum: null,
      cuts: [],
      newerPlanId: hall.planId,
    })
  })

  it('shows the drum wanted, then its cuts, and after each the next with the reading and mark to be expected', async () => {
    const hall = await Hall.open()
    const { nextDrum } = await released(hall, 'RW-1')
    await hall.book({ kind: 'mount-drum', drum: nextDrum!.drum, line: 'RW-1', mounting: nextDrum!.mounting })
    const before = await hall.view('RW-1')
    expect(before.mounted).toMatchObject({ drum: nextDrum!.drum, mounting: nextDrum!.mounting })
    expect(before.drawing!.mounting.intervals).toHaveLength(before.cuts.length)
    expect(before.dangers.length).toBeGreaterThan(1)
    const [end, first, second] = before.cuts
    expect(end).toMatchObject({ use: 'scrap', asShown: { kind: 'cut-off', use: 'scrap', cause: 'end' } })
    await hall.book(end!.asShown)
    const event = await hall.book(first!.asShown)
    const after = await hall.view('RW-1')
    expect(after.cuts).toHaveLength(before.cuts.length - 2)
    expect(after.cuts[0]!.takenUm).toBe(second!.takenUm)
    expect(after.cuts[0]!.markInner).toBeCloseTo(second!.markInner!, 6)
    const cut = event.body.kind === 'pieces-cut' ? event.body.pieces[0]! : null
    expect(after.done[0]).toMatchObject({
      serial: cut?.serial,
      // a bench length declares nothing: what it measures stands there
      declaredText: cut?.declaredText || expect.stringMatching(/^\d+\.\d{3} m measured$/),
      where: 'hall',
    })
    expect(cut).toMatchObject({ fit: 'good', inspection: 'as shown' })
    // counter = true length by 1 + its error, within a step of the counter
    expect(first!.presetM! / (first!.takenUm / 1e6)).toBeCloseTo(1 + before.errorRatio, 2)
  })

  it('lets a run of equal coils be confirmed as a run', async () => {
    const hall = await Hall.open()
    const { nextDrum } = await released(hall, 'RW-1')
    await hall.book({ kind: 'mount-drum', drum: nextDrum!.drum, line: 'RW-1', mounting: nextDrum!.mounting })
    for (let view = await hall.view('RW-1'); ; view = await hall.view('RW-1')) {
      const [cut] = view.cuts
      if (!cut) return expect.unreachable('the plan has a run of equal coils on this drum')
      const event = await hall.book(cut.asShown)
      if (cut.equal === 1) continue
      const pieces = event.body.kind === 'pieces-cut' ? event.body.pieces : []
      expect(pieces).toHaveLength(cut.equal)
      expect(new Set(pieces.map((p) => p.serial)).size).toBe(cut.equal)
      expect((await hall.view('RW-1')).cuts).toHaveLength(view.cuts.length - cut.equal)
      return
    }
  })
})

async function released(hall: Hall, line: string) {
  await hall.release()
  return hall.view(line)
}
