import type { RewindingLine } from '../hall/rewinding-line.ts'
import type { PlanInput } from '../plan/plan-input.ts'
import { verifyPlan } from '../plan/verify.ts'
import { putupCapacityM } from '../putup/capacity.ts'
import type { Putup } from '../putup/putup.ts'
import { type MicroEur, microFromEur } from '../quantity/money.ts'
import type { Interval, Mounting } from '../strip/cut-plan.ts'
import { cutTail, type Tail, type TailCoil, withTail } from './tail.ts'

/** One way to cut coils from one tail. */
export interface TailOption {
  /** Pieces of each kind. */
  counts: number[]
  instead: Interval[]
  /** What it brings; above nought it pays. */
  gainMicro: MicroEur
}

/** A kind of coil that lacks, with the line that orders it. */
export interface WantedCoil extends TailCoil {
  cable: string
  short: number
}

/** Ways that are looked at for one tail. */
const MOST_WAYS = 300

/**
 * The ways to cut coils that lack from one tail, each with what it brings: the cost of the drum's mountings by the plan's own
 * tariff before and after (value of the rest, scrap, wind-off, put-up changes, material delivered), less put-up, label and
 * minutes of each coil. Ways that break a rule of the plan are not among them.
 */
export function tailOptions(
  input: PlanInput,
  mountings: readonly Mounting[],
  tail: Tail,
  coils: readonly WantedCoil[],
): TailOption[] {
  const line = input.site.lines.find((l) => l.id === tail.line)
  const mine = line ? coils.filter((c) => c.cable === tail.cable && canWind(input, line, c)) : []
  if (!line || mine.length === 0) return []
  const price = pricer(input, mountings, tail)
  const asItIs = price([tail.left])
  if (asItIs === null) return []
  const best = new Map<string, TailOption>()
  for (const stretch of tail.sound)
    for (const counts of waysToFill(stretch.toUm - stretch.fromUm, mine)) {
      const wanted = inOrder(mine, counts, putupBefore(mountings[tail.mounting]!, tail.interval))
      const handling = wanted.reduce((sum, c) => sum + coilMicro(input, line, c), 0)
      for (const scrapRest of tail.left.use === 'remnant' ? [false, true] : [false]) {
        const instead = cutTail(tail, stretch, wanted, scrapRest)
        const cost = price(instead)
        if (cost === null) continue
        const gainMicro = asItIs - cost - handling
        const all = coils.map((c) => counts[mine.indexOf(c)] ?? 0)
        const key = all.join()
        if (gainMicro > (best.get(key)?.gainMicro ?? 0)) best.set(key, { counts: all, instead, gainMicro })
      }
    }
  return [...best.values()]
}

function canWind(input: PlanInput, line: RewindingLine, coil: WantedCoil): boolean {
  const putup = input.putups.find((p) => p.putup === coil.putup)
  const cable = input.cables.find((c) => c.cable === coil.cable)
  if (!putup || !cable || !line.takeupPutups.includes(putup.putup)) return false
  return coil.declaredUm / 1e6 <= putupCapacityM(putup, cable, input.site.putupRules)
}

/** Put-up, label, tying and running of one coil. */
export function coilMicro({ putups, costs }: PlanInput, line: RewindingLine, coil: TailCoil): MicroEur {
  const putup = putups.find((p) => p.putup === coil.putup) as Putup
  const kind = putup.kind === 'coil' || putup.kind === 'bobbin' ? putup.kind : 'drum'
  const minutes = line.cutTieLabelS[kind] / 60 + coil.cutUm / 1e6 / line.vMaxMMin
  return microFromEur(putup.costEur + costs.labelEur + (minutes * line.rateEurH) / 60)
}

/** Numbers of each kind that find room together, all but none at all. */
function waysToFill(roomUm: number, coils: readonly WantedCoil[]): number[][] {
  let ways: { counts: number[]; leftUm: number }[] = [{ counts: [], leftUm: roomUm }]
  for (const { cutUm, short } of coils)
    ways = ways
      .flatMap(({ counts, leftUm }) =>
        Array.from({ length: Math.min(short, Math.floor(leftUm / cutUm)) + 1 }, (_, n) => ({
          counts: [...counts, n],
          leftUm: leftUm - n * cutUm,
        })),
      )
      .sort((a, b) => a.leftUm - b.leftUm)
      .slice(0, MOST_WAYS)
  return ways.map((w) => w.counts).filter((counts) => counts.some((n) => n > 0))
}

/** Coils of one put-up together, first those of the put-up that the line stands on. */
function inOrder(coils: readonly WantedCoil[], counts: number[], before: string | null): WantedCoil[] {
  const wanted = coils.flatMap((c, i) => Array.from({ length: counts[i] ?? 0 }, () => c))
  const rank = (c: WantedCoil) => (c.putup === before ? '' : c.putup)
  return wanted.sort((a, b) => (rank(a) < rank(b) ? -1 : rank(a) > rank(b) ? 1 : a.kind - b.kind))
}

function putupBefore(mounting: Mounting, interval: number): string | null {
  for (const cut of mounting.intervals.slice(0, interval).reverse())
    if ((cut.use === 'piece' || cut.use === 'remnant') && cut.putup !== null) return cut.putup
  return null
}

/** Cost of the drum's mountings with something else in the place of its tail; null where that breaks a rule. */
function pricer(
  input: PlanInput,
  mountings: readonly Mounting[],
  tail: Tail,
): (instead: Interval[]) => MicroEur | null {
  const ofDrum = (x: { drum: string }) => x.drum === tail.drum
  const alone: PlanInput = {
    ...input,
    drums: input.drums.filter(ofDrum),
    marks: input.marks.filter(ofDrum),
    faults: input.faults.filter(ofDrum),
    orders: input.orders.filter((o) => o.cable === tail.cable),
  }
  return (instead) => {
    const changed = mountings.map((m, i) => (i === tail.mounting ? withTail(m, tail.interval, instead) : m))
    const { broken, costMicro } = verifyPlan(alone, { mountings: changed.filter(ofDrum), unserved: [] })
    // what other drums serve is not in sight here, and piece numbers are given later
    return broken.some(({ rule }) => !['quantity', 'parts', 'lots'].includes(rule)) ? null : costMicro
  }
}
