import { levelStandings } from '../ledger/minimum-levels.ts'
import { coilsFromTails, type TailProposal } from '../ledger/tails.ts'
import type { OrderLine } from '../order/order-line.ts'
import type { Plan } from '../plan/plan.ts'
import { verifyClaims } from '../plan/verify.ts'
import { LastmetreError } from '../quantity/errors.ts'
import type { Store } from '../store/dialect.ts'
import { decodeText } from '../works/decode-text.ts'
import { ordersWithAdded } from '../works/preview-orders.ts'
import type { TailsAnswer } from '../works/stock-api.ts'
import type { FloorDesk, FloorNow } from './floor-desk.ts'
import type { NewestPlan } from './newest-plan.ts'
import { keepPlan } from './plan-floors.ts'
import type { PlanningDesk } from './planning-desk.ts'
import { stockNow } from './stock-now.ts'
import { WaitingPreviews } from './waiting-previews.ts'
import type { WorksDesk } from './works-desk.ts'

/** A proposal that waits for a choice. */
interface Waiting {
  version: number
  seq: number
  proposal: TailProposal
  seconds: number
  seed: number
}

export interface TailsDesks {
  db: Store
  works: WorksDesk
  planning: PlanningDesk
  newest: NewestPlan
  floor: FloorDesk
}

/** Proposes standard coils out of the tails of the newest plan, and stores the plan with them where that is taken. */
export class TailsDesk {
  readonly #waiting = new WaitingPreviews<Waiting>()
  readonly #desks: TailsDesks

  constructor(desks: TailsDesks) {
    this.#desks = desks
  }

  /** Throws 'no-plan', 'plan-running', or 'plan-stale' where the hall is no longer as it was planned. */
  async propose(): Promise<TailsAnswer> {
    const { db, planning, newest } = this.#desks
    const floor = await this.#desks.floor.now()
    const levels = floor.current.more.stock.minimumLevels
    if (!levels || levels.length === 0)
      return { proposal: null, why: 'No minimum levels are recorded (more/minimum_levels.csv).' }
    if (planning.progress().state === 'running')
      throw new LastmetreError('plan-running', 'A plan is being made.')
    const found = await newest.found()
    const { row, plan } = found
    if (!newest.isOf(floor, found))
      throw new LastmetreError('plan-stale', 'The newest plan is for an earlier state of the hall.')
    const { shelf } = await stockNow(db, floor)
    const standings = levelStandings(levels, shelf, floor.works.orders)
    if (standings.every((s) => s.short === 0))
      return { proposal: null, why: 'Every minimum level is met, counting what is ordered for the shelf.' }
    const proposal = coilsFromTails(floor.works, plan, standings)
    if (!proposal)
      return { proposal: null, why: 'No tail of this plan makes a coil that lacks and pays for itself.' }
    return { proposal: this.#kept(floor, row, plan, proposal), why: null }
  }

  /** Adds the order lines and stores the plan as the newest; answers its number. Throws 'preview-stale' where anything changed. */
  async take(token: string): Promise<number> {
    const { db, planning, ...desks } = this.#desks
    const found = this.#waiting.find(token)
    const floor = await desks.floor.now()
    if (!found || found.version !== floor.current.row.version || found.seq !== floor.seq)
      throw new LastmetreError('preview-stale', 'The hall has changed since these coils were proposed.')
    if (planning.progress().state === 'running')
      throw new LastmetreError('plan-running', 'A plan is being made.')
    const { proposal, seconds, seed } = found
    const works = { ...floor.works, orders: [...floor.works.orders, ...proposal.lines] }
    const [broken] = verifyClaims(works, proposal.plan).broken
    if (broken)
      throw new LastmetreError('plan-broken', `The plan breaks a rule (${broken.rule}): ${broken.why}.`)
    this.#waiting.forget(token)
    await desks.works.changeOrders(ordersCsvWith(floor, proposal.lines))
    return keepPlan(db, await desks.floor.now(), { seconds, seed }, proposal.plan)
  }

  #kept(
    floor: FloorNow,
    row: { seconds: number; seed: number },
    plan: Plan,
    proposal: TailProposal,
  ): TailsAnswer['proposal'] {
    const { seconds, seed } = row
    const token = this.#waiting.keep({
      ...{ version: floor.current.row.version, seq: floor.seq, proposal, seconds, seed },
    })
    const { cuts, lines, gainMicro, handlingMicro } = proposal
    return {
      ...{ token, cuts, lines, gainMicro, handlingMicro },
      ...{ costBeforeMicro: plan.costMicro, costAfterMicro: proposal.plan.costMicro },
    }
  }
}

function ordersCsvWith({ current }: FloorNow, lines: readonly OrderLine[]): Uint8Array {
  const text = decodeText(current.files.get('orders.csv') ?? new Uint8Array())
  if (typeof text !== 'string') throw new LastmetreError('bad-request', text.wrong)
  return new TextEncoder().encode(ordersWithAdded(text, lines.map(cellsOf)).text)
}

/** The line as a row of orders.csv. */
function cellsOf(line: OrderLine): Record<string, string> {
  return {
    ...{ order: line.order, line: String(line.line), market: line.market, customer: line.customer },
    ...{ channel: line.channel, kind: line.kind, cable: line.cable, qty: String(line.qty) },
    ...{ length: line.lengthTyped, unit: line.unit, tol_minus_pct: '0', tol_plus_pct: '0' },
    ...{ single_length: 'yes', faults_allowed: 'none', print_required: 'yes', putup: line.putup ?? '' },
    ...{ length_definition: line.lengthDefinition, due_date: line.dueDate, price_eur: '0' },
    note: line.note ?? '',
  }
}
