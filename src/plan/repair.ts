import type { MicroEur } from '../quantity/money.ts'
import type { TurnClock } from './bound-tree.ts'
import { type Catalog, catalogOf, orderKey } from './catalog.ts'
import type { LinearProgramEngine } from './linear-program.ts'
import type { Plan } from './plan.ts'
import type { PlanInput } from './plan-input.ts'
import { inOrder, mendedMountings, type NewMounting } from './repair-assemble.ts'
import { type PlanChange, planChanges } from './repair-changes.ts'
import { concludedPlan, type PlannedAnew } from './repair-conclude.ts'
import { fixedPart, type LostPiece, type StayingCuts } from './repair-fixed.ts'
import { type OpenType, openType } from './repair-instance.ts'
import { oldPatterns } from './repair-pattern.ts'
import { type RepairEffort, RepairSearch } from './repair-search.ts'
import { isTouched } from './repair-touched.ts'
import { withoutUnfinished } from './repair-unfinished.ts'
import { TypePlanner } from './type-planner.ts'
import { unservedOf } from './type-solution.ts'

/** What a repair may do before a person waits for it. Tuned figures. */
export const REPAIR_EFFORT: RepairEffort = {
  tries: 40,
  work: 2_500,
  widest: 1,
  moves: 30_000,
  turns: 0,
  changeMicro: 3_000_000,
}

/** Turns of the full planner while less is served than before: service comes before speed and before few changes. */
const SHORT_TURNS = 6
/** Turns of search alone after the library was asked what serves most. */
const SEEK_TURNS = 2

export interface RepairOptions {
  seed: number
  effort: RepairEffort
  /** Cuts that were made. */
  made: StayingCuts[]
  /** Cuts that a person wants where they are. */
  held: StayingCuts[]
  /** By order line, drums that it must not be cut from. */
  barred: Catalog['barred']
  /** Cables to be looked at even where the old plan can stay. */
  anew: ReadonlySet<string>
  clock: TurnClock
  /** The works that the old plan was made for; null where it is not at hand, and what was proven of a changed type is lost. */
  before: PlanInput | null
}

export interface Repair {
  plan: Plan
  changes: PlanChange[]
  lost: LostPiece[]
  /** Drums that are held now but were cut before: their cuts stand, so the check counts them as free. */
  heldBegun: string[]
}

export const NO_CLOCK: TurnClock = {
  late: () => false,
  leftMs: () => Number.POSITIVE_INFINITY,
  turnLeftMs: () => Number.POSITIVE_INFINITY,
  timed: false,
}

/**
 * Makes a plan of an old one after the works has changed: cuts that were made or are held stay where they are, mountings that
 * can stay do, types that nothing happened to are not looked at. The new plan is checked like any other.
 */
export function repairPlan(
  input: PlanInput,
  from: Pick<Plan, 'mountings' | 'unserved' | 'bound' | 'byCable' | 'unservedMicro'>,
  engine: LinearProgramEngine,
  options: RepairOptions,
): Repair {
  // nothing proven is minus infinity, which comes as null where a plan was stored: it is proven anew
  const old = { ...from, byCable: from.byCable.filter((b) => Number.isFinite(b.boundMicro)) }
  const catalog = catalogOf(input, options.barred)
  const fixed = fixedPart(catalog, old.mountings, options.made, options.held)
  const heldBegun = [
    ...new Set(
      fixed.mountings.map((f) => f.drum).filter((d) => catalog.drums.get(d)!.drum.status !== 'free'),
    ),
  ]
  const works = heldBegun.length === 0 ? catalog : catalogOf(countedFree(input, heldBegun), options.barred)
  const planned: PlannedAnew[] = []
  const staying: NewMounting[] = []
  for (const cable of input.cables) {
    const own = old.mountings.flatMap((mounting, index) =>
      catalog.drums.get(mounting.drum)?.drum.cable === cable.cable ? [{ mounting, index }] : [],
    )
    if (own.length === 0 && !input.orders.some((o) => o.cable === cable.cable)) continue
    const search = options.anew.has(cable.cable) || isTouched(works, cable.cable, old, own, fixed, catalog)
    if (!search) staying.push(...own)
    if (!search && old.byCable.some((b) => b.cable === cable.cable)) continue
    const type = openType(catalog, cable, fixed.mountings)
    const patterns = oldPatterns(works, type, old.mountings)
    planned.push(planAnew(type, old, patterns, engine, options, search))
  }
  const ordered = inOrder(
    [...staying, ...planned.flatMap((p) => (p.kept ? [] : mendedMountings(old.mountings, p.mended)))],
    (drum) => catalog.drums.get(drum)!.drum.cable,
  )
  const { mountings, lost } = withoutUnfinished(works, ordered)
  const plan = concludedPlan({ works, old, planned, mountings, seed: options.seed, before: options.before })
  return { plan, changes: planChanges(old.mountings, mountings), lost: [...fixed.lost, ...lost], heldBegun }
}

function countedFree(input: PlanInput, drums: string[]): PlanInput {
  return {
    ...input,
    drums: input.drums.map((d) => (drums.includes(d.drum) ? { ...d, status: 'free' as const } : d)),
  }
}

function planAnew(
  type: OpenType,
  old: Pick<Plan, 'mountings' | 'unserved'>,
  patterns: ReturnType<typeof oldPatterns>,
  engine: LinearProgramEngine,
  { seed, effort, clock }: RepairOptions,
  search: boolean,
): PlannedAnew {
  const planner = new TypePlanner(type.catalog, type.instance, engine, seed)
  try {
    const repair = new RepairSearch(planner, patterns, effort.changeMicro)
    const enoughMicro = Math.max(targetMicro(type, old), planner.result().serviceBoundMicro)
    repair.run(search ? effort : { ...effort, tries: 0 }, enoughMicro, clock.late)
    const short = () => planner.short && repair.best.solution.unservedMicro > enoughMicro
    if (search) {
      const offer = () => repair.offer(planner.result().solution)
      if (short()) {
        planner.serveMost(clock)
        // that is put together without regard to cost
        for (let n = 0; n < SEEK_TURNS && !clock.late(); n++) planner.seek(clock)
        offer()
      }
      const turns = () => (short() ? Math.max(SHORT_TURNS, effort.turns) : effort.turns)
      for (let n = 0; n < turns() && !clock.late(); n++) {
        planner.turn(clock)
        offer()
      }
    }
    // a bound needs prices, which come with a turn of search, whether what it finds is wanted or not
    if (!search && effort.turns > 0 && !clock.late()) planner.turn(clock)
    // somebody waits at a line: what has no bound yet gets the one that is at hand
    planner.settle(() => 0)
    const result = planner.result()
    const { solution } = repair.best
    // the bound holds for the service it was proven at
    const proven = result.solution.unservedMicro === solution.unservedMicro
    return {
      type,
      kept: !search,
      mended: { type, old: patterns, patterns: solution.patterns },
      result: { ...result, solution, boundMicro: proven ? result.boundMicro : Number.NEGATIVE_INFINITY },
    }
  } finally {
    planner.dispose()
  }
}

/** What may stay unserved without being worse than before: as many pieces as the old plan left of each line it knew. */
function targetMicro(type: OpenType, old: Pick<Plan, 'unserved'>): MicroEur {
  let sum = 0
  // a line whose pieces come in parts is an item for each of them, but each piece was left unserved once
  const told = new Map(old.unserved.map((u) => [orderKey(u.order, u.orderLine), u.pieces]))
  for (const item of type.instance.items) {
    let pieces = 0
    for (const line of item.lines) {
      const key = orderKey(line.order.order, line.order.line)
      const left = Math.min(told.get(key) ?? 0, line.pieces)
      told.set(key, (told.get(key) ?? 0) - left)
      pieces += left
    }
    sum += unservedOf(item, pieces)
  }
  return sum
}
