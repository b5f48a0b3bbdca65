import type { CableType } from '../src/cable/cable-type.ts'
import type { OrderLine } from '../src/order/order-line.ts'
import type { Mounting } from '../src/strip/cut-plan.ts'
import { type UsableDrum, usableDrum } from '../src/strip/usable.ts'
import type { Works } from '../src/works/works.ts'
import { attenuationPoints, cableTypes, connectors } from './generate/cable-types.ts'
import { type Draft, linesFor, makeDrafts } from './generate/drafts.ts'
import { BENCH_HALL, costsOf, MARKETS, PUTUPS, worksSite } from './generate/hall.ts'
import { cleanUm, cutHidden, type HiddenWork } from './generate/hidden-cutting.ts'
import { hopelessLines } from './generate/hopeless.ts'
import { hiddenMountings, numberLines, settleDrafts } from './generate/order-lines.ts'
import { type Random, seededRandom } from './generate/random.ts'
import { counterChecks, leadTests, lineRun, monthLedger } from './generate/records.ts'
import { addStock, type Stock } from './generate/stock.ts'

export interface WorksWanted {
  seed: number
  /** Name of the works folder. */
  folder: string
  /** Cable types. */
  types: number
  linesPerType: number
  /** Clean usable stock over the cable that the orders need, at least 1. */
  stockRatio: number
  /** Metres on process drums for each order line; with the lines it sets how many drums there are. */
  metresPerLine: number
  /** Order lines that no stock can serve, each for another reason. */
  hopeless: number
}

export interface GeneratedWorks {
  works: Works
  /** Cuts that serve every order line but the hopeless ones. */
  hidden: Mounting[]
}

/** The size of the demo, with stock 4 % above need. */
export const TIGHT: WorksWanted = {
  seed: 2,
  folder: 'tight',
  types: 8,
  linesPerType: 14,
  stockRatio: 1.04,
  metresPerLine: 270,
  hopeless: 0,
}

/** 20 types and 1 500 lines. */
export const LARGE: WorksWanted = {
  seed: 23,
  folder: 'large',
  types: 20,
  linesPerType: 75,
  stockRatio: 1.06,
  metresPerLine: 150,
  hopeless: 3,
}

const TODAY = '2031-05-05'

/** An invented works from a seed and a size; the same in every run. */
export function generateWorks(wanted: WorksWanted): GeneratedWorks {
  const random = seededRandom(wanted.seed)
  const cables = cableTypes(random, wanted.types)
  const site = worksSite(`${wanted.folder} works (invented)`, TODAY, wanted.types)
  const parts = connectors(cables)
  const stock: Stock = { drums: [], marks: [], faults: [] }
  const drafts: Draft[] = []
  const usables = new Map<string, UsableDrum>()
  const lineOf = new Map<string, string>()
  const hopelessPerType = (i: number) => (i < wanted.hopeless ? 1 : 0)
  for (const [i, cable] of cables.entries()) {
    const context = { random, cable, site, putups: PUTUPS, today: TODAY }
    const from = stock.drums.length
    const processM = wanted.linesPerType * wanted.metresPerLine
    const remnants = Math.max(2, Math.round(wanted.linesPerType / 8))
    addStock(stock, random, { ...context, processM, remnants, lines: linesFor(site, cable) })
    const drums = stock.drums.slice(from).map((d) => usableOf(stock, d.drum, site.cutRules))
    for (const usable of drums) usables.set(usable.drum.drum, usable)
    const count = wanted.linesPerType - hopelessPerType(i)
    const work: HiddenWork = {
      ...context,
      connectors: parts,
      drums,
      drafts: makeDrafts(context, count),
      lineOf,
    }
    const needUm = cleanUm(drums) / wanted.stockRatio
    raiseWanted(random, work.drafts, 1.4 * needUm)
    cutHidden(work, needUm)
    drafts.push(...settleDrafts(random, work.drafts, count))
  }
  const costs = costsOf(cables)
  const mixed = random.shuffled(drafts)
  const orders = numberLines(random, mixed, costs)
  const hidden = hiddenMountings(mixed, usables, lineOf)
  orders.push(...hopelessLines(random, cables.slice(0, wanted.hopeless), [...usables.values()], costs, TODAY))
  return { works: assemble(wanted.folder, { random, cables, stock, orders, parts, site, costs }), hidden }
}

/** Dealers want more of their short and middle lengths until there is enough demand to choose from. */
function raiseWanted(random: Random, drafts: Draft[], demandUm: number): void {
  const demand = () => drafts.reduce((sum, d) => sum + d.wanted * d.line.lengthUm, 0)
  const more = drafts.filter((d) => d.line.channel !== 'web' && d.group === null && d.line.singleLength)
  for (let i = 0; more.length > 0 && i < 2000 && demand() < demandUm; i++) {
    const draft = random.pick(more)
    const most = draft.line.kind === 'lead' ? 100 : draft.line.lengthUm < 70e6 ? 24 : 12
    draft.wanted = Math.min(most, draft.wanted + random.whole(1, 4))
  }
}

function usableOf(stock: Stock, id: string, rules: Works['site']['cutRules']): UsableDrum {
  return usableDrum(
    stock.drums.find((d) => d.drum === id)!,
    stock.marks.filter((m) => m.drum === id),
    stock.faults.filter((f) => f.drum === id),
    rules,
  )
}

interface Made {
  random: Random
  cables: CableType[]
  stock: Stock
  orders: OrderLine[]
  parts: Works['connectors']
  site: Works['site']
  costs: Works['costs']
}

function assemble(folder: string, { random, cables, stock, orders, parts, site, costs }: Made): Works {
  const line = site.lines[1]!
  const runCable = cables.find((c) => c.odMm >= line.odMinMm && c.odMm <= line.odMaxMm) ?? cables[0]!
  return {
    folder,
    site,
    benchHall: BENCH_HALL,
    markets: MARKETS,
    costs,
    cables,
    connectors: parts,
    putups: PUTUPS,
    drums: stock.drums,
    marks: stock.marks,
    faults: stock.faults,
    orders,
    counterChecks: counterChecks(random, site.lines, cables, TODAY),
    attenuation: attenuationPoints(cables),
    leadTests: leadTests(random, orders, cables, stock.drums),
    lineRun: lineRun(random, line, runCable),
    monthLedger: monthLedger(random, cables, stock.drums, TODAY),
  }
}
