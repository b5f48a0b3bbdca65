import { describe, expect, it, onTestFinished, vi } from 'vitest'
import type { CommandBody } from '../../src/ledger/command.ts'
import type { Plan } from '../../src/plan/plan.ts'
import type { PlanInput } from '../../src/plan/plan-input.ts'
import { verifyPlan } from '../../src/plan/verify.ts'
import { FloorBoard } from '../../src/server/floor-board.ts'
import { ALONE } from '../../src/server/sharing.ts'
import type { Interval, Mounting } from '../../src/strip/cut-plan.ts'
import type { FloorRepair } from '../../src/works/floor-api.ts'
import { ask } from '../server/harness.ts'
import { DEMO } from '../support/demo.ts'
import { until } from '../support/until.ts'
import { demoPlan, faultAt, Hall } from './hall.ts'

/** The first drum of the plan that does is mounted on its line, and its first cut booked. */
async function running(sharing = ALONE, does = (mounting: Mounting) => mounting.line === 'RW-1') {
  const hall = await Hall.open(DEMO, sharing)
  await hall.release()
  const { mountings } = (await demoPlan()).plan
  const at = mountings.findIndex(does)
  if (at < 0) throw new Error('No drum of the plan is as this test needs it.')
  const { drum, line } = mountings[at]!
  await hall.book({ kind: 'mount-drum', drum, line, mounting: at + 1 })
  const [end] = (await hall.view(line)).cuts
  const cut = await hall.book(end!.asShown)
  return { hall, drum, line, cut }
}

/** A remnant that a fault in its middle leaves two of. */
function spareOf(mounting: Mounting): Interval | undefined {
  return mounting.intervals.find((i) => i.use === 'remnant' && i.toUm - i.fromUm > 20_000_000)
}

async function repairedAfter(hall: Hall, seq: number): Promise<FloorRepair> {
  const { repair } = await until(
    () => hall.view('RW-1'),
    (view) => view.repair.because === seq && view.repair.state !== 'running',
  )
  return repair
}

/** The plan in force and the works that it was made for. */
async function inForce(hall: Hall): Promise<{ plan: Plan; input: PlanInput; planId: number }> {
  const planId = (await hall.view('RW-1')).plan!.planId
  const { plan } = (await ask(hall.app, { url: '/api/plan' })).body as { plan: Plan }
  const { input } = (await ask(hall.app, { url: `/api/input?plan=${planId}` })).body as { input: PlanInput }
  return { plan, input, planId }
}

/** What is booked for the first of the equal cuts. */
function firstOf(body: CommandBody): CommandBody {
  return body.kind === 'cut-pieces' ? { ...body, pieces: body.pieces.slice(0, 1) } : body
}

describe('the repair on the floor', () => {
  it('leaves the running cut, plans the rest anew, and says what changed', async () => {
    const { hall, drum } = await running()
    const before = await hall.view('RW-1')
    const [cut, next] = before.cuts
    const event = await hall.book(faultAt(drum, cut!.takenUm + 20_000_000 + Math.round(next!.takenUm / 2)))
    const repair = await repairedAfter(hall, event.seq)
    expect(repair).toMatchObject({ state: 'done', message: null })
    expect(repair.changes.length).toBeGreaterThan(0)
    expect(repair.orders.length).toBeGreaterThan(0)
    const after = await hall.view('RW-1')
    expect(after.plan).toMatchObject({ cause: 'repaired' })
    // how many equal cuts follow it may change; the cut itself may not
    expect(after.cuts[0]!.takenUm).toBe(cut!.takenUm)
    expect(firstOf(after.cuts[0]!.asShown)).toEqual(firstOf(cut!.asShown))
    const { plan, input } = await inForce(hall)
    expect(verifyPlan(input, plan).broken).toEqual([])
    // what is shown goes on to be cut
    await hall.book(after.cuts[0]!.asShown)
    expect((await hall.view('RW-1')).repair).toMatchObject({ because: event.seq })
  })

  it('is not said to be done beside the cuts of before, though it ends while they are looked at', async () => {
    const { hall } = await running()
    onTestFinished(() => void vi.restoreAllMocks())
    vi.spyOn(FloorBoard.prototype, 'newerPlanId').mockImplementationOnce(async () => {
      const ended: FloorRepair = { ...hall.app.repairs.repair, state: 'done' }
      vi.spyOn(hall.app.repairs, 'repair', 'get').mockReturnValue(ended)
      return null
    })
    expect((await hall.view('RW-1')).repair.state).toBe('none')
    expect((await hall.view('RW-1')).repair.state).toBe('done')
  })

  it('changes nothing where a fault lies in what stays anyway', async () => {
    const { hall, drum, line } = await running(ALONE, (m) => spareOf(m) !== undefined)
    const before = await hall.view(line)
    const spare = spareOf(before.drawing!.mounting)!
    await hall.book(faultAt(drum, Math.round((spare.fromUm + spare.toUm) / 2), line))
    // one that does call for a repair is the first that makes a plan
    const [cut] = before.cuts
    const event = await hall.book(faultAt(drum, cut!.takenUm + 10_000_000, line))
    await repairedAfter(hall, event.seq)
    expect((await hall.view(line)).plan!.planId).toBe(hall.planId + 1)
  })

  it('says that it was for the fault, though what was booked before it had the plan looked at', async () => {
    const sharing = { ...ALONE, onDuty: false }
    const { hall, drum, cut } = await running(sharing)
    const [next] = (await hall.view('RW-1')).cuts
    const event = await hall.book(faultAt(drum, next!.takenUm + 10_000_000))
    sharing.onDuty = true
    const { repairs } = hall.app
    await repairs.takeOver([cut])
    await until(
      async () => repairs.repair.state,
      (state) => state !== 'none',
    )
    await repairs.takeOver([event])
    await repairs.settled()
    expect(repairs.repair).toMatchObject({ state: 'done', because: event.seq })
    expect(repairs.repair.why).toMatch(/^Fault /)
    expect(repairs.repair.changes.length).toBeGreaterThan(0)
  })

  it('takes a held drum out of the plan', async () => {
    const { hall } = await running()
    const other = (await hall.view('RW-1')).nextDrum!.drum
    const event = await hall.book({
      kind: 'hold-drum',
      drum: other,
      status: 'qc_hold',
      reason: 'return loss',
    })
    expect(await repairedAfter(hall, event.seq)).toMatchObject({ state: 'done' })
    const { plan } = await inForce(hall)
    expect(plan.mountings.some((m) => m.drum === other)).toBe(false)
  })

  it('sees to faults that come one upon the other', async () => {
    const { hall, drum } = await running()
    const { cuts } = await hall.view('RW-1')
    const farUm = cuts[0]!.takenUm + cuts[1]!.takenUm
    const events = await hall.send([
      hall.command(faultAt(drum, farUm + 30_000_000)),
      hall.command(faultAt(drum, farUm + 90_000_000)),
    ])
    expect(events.every((e) => 'event' in e)).toBe(true)
    const last = events.flatMap((e) => ('event' in e ? [e.event.seq] : [])).at(-1)!
    await repairedAfter(hall, last)
    const { plan, input } = await inForce(hall)
    expect(verifyPlan(input, plan).broken).toEqual([])
    expect(input.faults.filter((f) => f.drum === drum && f.code === 'SPK').length).toBeGreaterThanOrEqual(2)
  })
})
