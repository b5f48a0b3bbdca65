import { leadCutUm } from '../../src/lead/cut-length.ts'
import { allowsFault } from '../../src/order/faults-allowed.ts'
import type { Plan } from '../../src/plan/plan.ts'
import type { PlanInput } from '../../src/plan/plan-input.ts'
import type { Interval, Mounting } from '../../src/strip/cut-plan.ts'
import { type UsableDrum, usableDrum } from '../../src/strip/usable.ts'

interface Wanted {
  needUm: number
  interval: Omit<Extract<Interval, { use: 'piece' }>, 'fromUm' | 'toUm'>
  cable: string
  blocked: (zone: UsableDrum['zones'][number]) => boolean
}

/** A plan to print: every drum filled from the outer end with what comes first. Nothing is claimed of its cost or its rules. */
export function greedyPlan(input: PlanInput): Plan {
  const wanted = wantedOf(input)
  const mountings: Mounting[] = []
  const remnantsFirst = [...input.drums].sort((a, b) => b.kind.localeCompare(a.kind))
  for (const drum of remnantsFirst) {
    if (drum.status !== 'free') continue
    const usable = usableDrum(
      drum,
      input.marks.filter((m) => m.drum === drum.drum),
      input.faults.filter((f) => f.drum === drum.drum),
      input.site.cutRules,
    )
    const od = input.cables.find((c) => c.cable === drum.cable)!.odMm
    const bench = drum.kind === 'remnant' && drum.grossKg <= 25
    const line = bench ? 'B1' : input.site.lines.find((l) => od >= l.odMinMm && od <= l.odMaxMm)!.id
    const intervals = fill(usable, wanted, bench)
    if (intervals.some((i) => i.use === 'piece')) mountings.push({ drum: drum.drum, line, intervals })
  }
  const zero = {
    stockValueLost: 0,
    copperReturned: 0,
    mountings: 0,
    putupChanges: 0,
    windOffs: 0,
    putups: 0,
    materialDelivered: 0,
  }
  return {
    works: input.folder,
    seed: 1,
    work: 0,
    mountings,
    unserved: [],
    unservedMicro: 0,
    costMicro: 0,
    costItems: zero,
    bound: { unservedMicro: 0, costMicro: 0 },
    stopped: false,
    byCable: [],
    deliveredMicro: 0,
  }
}

function wantedOf(input: PlanInput): Wanted[] {
  const rules = input.site.cutRules
  const wanted: Wanted[] = []
  for (const o of [...input.orders].sort((a, b) => a.dueDate.localeCompare(b.dueDate))) {
    const blocked = (zone: UsableDrum['zones'][number]) => !allowsFault(o, zone.fault)
    const base = { use: 'piece' as const, order: o.order, orderLine: o.line, part: 1 }
    if (o.kind === 'lead') {
      const part = (id: string | null) => input.connectors.find((c) => c.part === id) ?? null
      const declaredUm = leadCutUm(o.lengthUm, o.lengthDefinition, part(o.connA), part(o.connB))
      const needUm = o.qty * (declaredUm + rules.leadTrimUm)
      wanted.push({
        needUm,
        cable: o.cable,
        blocked,
        interval: { ...base, piece: 1, count: o.qty, declaredUm, putup: null },
      })
      continue
    }
    const needUm = Math.ceil(o.lengthUm * (1 + rules.lengthGuardRatio)) + rules.pieceTrimUm
    for (let piece = 1; piece <= o.qty; piece++)
      wanted.push({
        needUm,
        cable: o.cable,
        blocked,
        interval: { ...base, piece, count: 1, declaredUm: o.lengthUm, putup: o.putup ?? 'C-380' },
      })
  }
  return wanted
}

function fill(usable: UsableDrum, wanted: Wanted[], leadsOnly: boolean): Interval[] {
  const intervals: Interval[] = []
  let at = 0
  const push = (toUm: number, use: object) => {
    if (toUm > at) intervals.push({ fromUm: at, toUm, ...use } as Interval)
    at = Math.max(at, toUm)
  }
  push(usable.good.fromUm, { use: 'end' })
  for (;;) {
    const next = wanted.findIndex(
      (w) =>
        w.cable === usable.drum.cable &&
        (!leadsOnly || w.interval.putup === null) &&
        at + w.needUm <= usable.good.toUm &&
        !usable.zones.some((z) => w.blocked(z) && z.fromUm < at + w.needUm && z.toUm > at),
    )
    if (next >= 0) {
      const [taken] = wanted.splice(next, 1)
      push(at + taken!.needUm, taken!.interval)
      continue
    }
    const zone = usable.zones.find((z) => z.fromUm >= at && z.fault.severity === 'cut_out')
    if (!zone) break
    // what lies before the fault is wound off where it is worth keeping, the last bit of it is scrap
    if (zone.fromUm - at > 30_000_000) push(zone.fromUm, { use: 'remnant', putup: 'BB-200' })
    push(Math.min(zone.toUm, usable.good.toUm), { use: 'scrap', cause: `fault ${zone.fault.fault}` })
  }
  if (usable.good.toUm - at > 20_000_000) push(usable.lengthUm, { use: 'remnant', putup: null })
  else {
    push(usable.good.toUm, { use: 'scrap', cause: 'too short to keep' })
    push(usable.lengthUm, { use: 'end' })
  }
  return intervals
}
