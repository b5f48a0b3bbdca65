import { planNumber } from '../dispatch/paper-meta.ts'
import { type RunSheet, runSheets } from '../dispatch/run-sheet.ts'
import type { RewindingLine } from '../hall/rewinding-line.ts'
import { asShown, marksShown, type ShownCut } from '../ledger/as-shown.ts'
import type { OpenMounting } from '../ledger/plan-now.ts'
import type { counterCorrection } from '../measure/counter-correction.ts'
import { UM_PER_M } from '../quantity/length.ts'
import type { Interval } from '../strip/cut-plan.ts'
import { markText } from '../strip/mark-text.ts'
import type { UsableDrum } from '../strip/usable.ts'
import type { FloorCut, FloorDrum, NextDrum } from '../works/floor-api.ts'
import type { FloorNow } from './floor-desk.ts'
import { testedNow } from './floor-spark.ts'
import type { ReleasedPlan } from './released-plan.ts'

/** A length taken with the tape at the bench, one standard deviation, µm: common practice of the trade. */
const TAPE_UNC_UM = 2_000
/** Where fewer than two checks say what a counter is worth: half a per cent, common practice of the trade. */
const UNCHECKED_RATIO = 0.005

/** The hall, and what is left of the plan in force. */
export interface PlanSource {
  now: FloorNow
  released: ReleasedPlan | null
  open: OpenMounting[]
}

/** The works as it is now, as run sheets need it. */
export function sheetWorks(now: FloorNow): FloorNow['works'] {
  return { ...now.works, sparkTested: testedNow(now) }
}

/** The run sheet of what is left of a mounting, by sheetWorks. */
export function sheetOf(
  { released, open }: PlanSource,
  works: FloorNow['works'],
  mounting: OpenMounting,
  place: string,
): RunSheet | null {
  const meta = { planNumber: released ? planNumber(released.planId) : '', madeAt: '' }
  const ownLine = open.filter((m) => m.line === place)
  const index = ownLine.indexOf(mounting)
  return runSheets(works, { mountings: ownLine }, meta, index)[0] ?? null
}

export function drumShown(
  { now, released }: PlanSource,
  usable: UsableDrum,
  mounting: OpenMounting | undefined,
): FloorDrum {
  const { drum, lengthUm } = usable
  return {
    drum: drum.drum,
    cable: drum.cable,
    lot: drum.lot,
    mounting: mounting ? mounting.index + 1 : null,
    of: released?.plan.mountings.length ?? 0,
    restUm: lengthUm,
    restUncUm: now.state.drums.get(drum.drum)?.uncUm ?? 0,
    eurPerM: now.works.costs.materialCostEurM[drum.cable] ?? 0,
    outerMark: markText(usable, Math.min(1, lengthUm)),
  }
}

/** A drum that comes on later, with where it lies and the code of its run sheet. */
export function nextDrumShown(source: PlanSource, usable: UsableDrum, mounting: OpenMounting): NextDrum {
  const number = source.released ? planNumber(source.released.planId) : ''
  return {
    ...drumShown(source, usable, mounting),
    place: usable.drum.location,
    code: `lastmetre:plan/${number}/mounting/${mounting.index + 1}`,
  }
}

export interface Uncertainty {
  ratio: number
  um: number
}

/** Spread of the counter's checks with the standard error of their mean, and the spread of the stop; the tape at a bench. */
export function uncertaintyOf(
  line: RewindingLine | null,
  correction: ReturnType<typeof counterCorrection>,
): Uncertainty {
  if (!line) return { ratio: 0, um: TAPE_UNC_UM }
  const ratio = correction ? Math.hypot(correction.sdRatio, correction.standardErrorRatio) : UNCHECKED_RATIO
  return { ratio, um: Math.round(line.stopSdM * UM_PER_M) }
}

/** What is to be cut off one mounting, in its order; `unc`: of a length that is measured where it is mounted. */
export function cutsShown(
  { now }: PlanSource,
  sheet: RunSheet,
  mounting: OpenMounting,
  unc: Uncertainty,
): FloorCut[] {
  const { works } = now
  const { intervals } = mounting
  const line = works.site.lines.find((l) => l.id === mounting.line) ?? null
  return intervals.map((interval, i): FloorCut => {
    const row = sheet.rows[i]!
    const lengthUm = interval.toUm - interval.fromUm
    const shown: ShownCut = {
      drum: mounting.drum,
      line: mounting.line,
      mounting: mounting.index + 1,
      usable: sheet.usable,
      interval,
      equal: equalFrom(intervals, i),
      rest: row.cut === 'rest',
      presetM: line && row.preset !== '' ? Number(row.preset) : null,
      uncUm: Math.round(Math.hypot(unc.ratio * lengthUm, unc.um)),
      rules: works.site.cutRules,
      orderOf: (order, orderLine) => works.orders.find((o) => o.order === order && o.line === orderLine),
    }
    const marks = marksShown(shown)
    const figure = (text: string) => (text === '' ? null : Number(text))
    return {
      row,
      use: shown.rest ? 'rest' : interval.use === 'end' ? 'scrap' : interval.use,
      takenUm: lengthUm,
      presetM: shown.presetM,
      slowAtM: figure(row.slow),
      stopAtM: figure(row.stop),
      markOuter: marks.outer,
      markInner: marks.inner,
      markUnit: unitAt(sheet.usable, interval.toUm),
      equal: shown.equal,
      asShown: asShown(shown),
      held: row.held,
    }
  })
}

function unitAt({ segments }: UsableDrum, placeUm: number): 'm' | 'ft' | null {
  const unit = (segments.find((s) => placeUm <= s.toUm) ?? segments.at(-1))?.printUnit
  return unit === 'm' || unit === 'ft' ? unit : null
}

/** Cuts alike in order line, length and put-up, so that they can be confirmed as one run. */
function equalFrom(intervals: Interval[], at: number): number {
  const first = intervals[at]!
  if (first.use !== 'piece') return 1
  let n = 1
  for (let next = intervals[at + 1]; isLike(next, first); next = intervals[at + n]) n++
  return n
}

function isLike(next: Interval | undefined, first: Interval & { use: 'piece' }): boolean {
  return (
    next?.use === 'piece' &&
    next.order === first.order &&
    next.orderLine === first.orderLine &&
    next.putup === first.putup &&
    next.count === first.count &&
    next.part === first.part &&
    next.toUm - next.fromUm === first.toUm - first.fromUm
  )
}
