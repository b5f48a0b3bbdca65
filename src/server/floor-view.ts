import { benchDangers, lineDangers } from '../dispatch/dangers.ts'
import { planNumber } from '../dispatch/paper-meta.ts'
import { type RunSheet, runSheets } from '../dispatch/run-sheet.ts'
import { correctionText } from '../dispatch/run-warnings.ts'
import type { RewindingLine } from '../hall/rewinding-line.ts'
import { asShown, marksShown, type ShownCut } from '../ledger/as-shown.ts'
import { hasCuts, type OpenMounting, usableNow } from '../ledger/plan-now.ts'
import type { DrumRow, PieceRow } from '../ledger/state-rows.ts'
import { counterCorrection } from '../measure/counter-correction.ts'
import { UM_PER_M } from '../quantity/length.ts'
import type { Interval } from '../strip/cut-plan.ts'
import { markText } from '../strip/mark-text.ts'
import type { UsableDrum } from '../strip/usable.ts'
import type { FloorCut, FloorDrum, FloorPiece, FloorView } from '../works/floor-api.ts'
import type { FloorNow } from './floor-desk.ts'
import { testedNow } from './floor-spark.ts'
import type { ReleasedPlan } from './released-plan.ts'

/** Last pieces that are shown. */
const MOST_DONE = 8
/** A length taken with the tape at the bench, one standard deviation, µm: common practice of the trade. */
const TAPE_UNC_UM = 2_000
/** Where fewer than two checks say what a counter is worth: half a per cent, common practice of the trade. */
const UNCHECKED_RATIO = 0.005

export interface FloorSource {
  now: FloorNow
  released: ReleasedPlan | null
  /** What is left of the plan. */
  open: OpenMounting[]
  newerPlanId: number | null
  repair: FloorView['repair']
  printer: string | null
}

/** Now and next at one line or cutting bench. */
export function floorView(source: FloorSource, place: string): FloorView {
  const { now, released, open, repair, printer } = source
  const line = now.works.site.lines.find((l) => l.id === place) ?? null
  const row = mountedOn(source, place)
  const mounting = row ? open.find((m) => m.drum === row.drum && m.line === place) : undefined
  const others = open.filter((m) => m.line === place && m.drum !== row?.drum && hasCuts(m))
  // one that runs elsewhere now comes here later
  const next = others.find((m) => !now.state.drums.get(m.drum)?.mountedOn) ?? others[0] ?? null
  const sheet = mounting ? sheetOf(source, mounting, place) : null
  const usable = row ? usableNow(row.drum, now.works) : null
  const correction = line ? counterCorrection(line.id, now.works.counterChecks) : null
  const unc = uncertaintyOf(line, correction)
  const nextUsable = next ? usableNow(next.drum, now.works) : null
  return {
    line: place,
    bench: line === null,
    seq: now.seq,
    plan: released
      ? {
          planId: released.planId,
          number: planNumber(released.planId),
          releasedAt: released.releasedAt,
          cause: released.cause,
        }
      : null,
    newerPlanId: source.newerPlanId,
    mounted: usable ? drumShown(source, usable, mounting) : null,
    nextDrum:
      next && nextUsable
        ? {
            ...drumShown(source, nextUsable, next),
            place: nextUsable.drum.location,
            code: `lastmetre:plan/${released ? planNumber(released.planId) : ''}/mounting/${next.index + 1}`,
          }
        : null,
    cuts: sheet && mounting ? cutsShown({ source, sheet, mounting, line, unc }) : [],
    done: lastPieces(now, place),
    repair,
    dangers: sheet?.dangers ?? dangersOf(now, line, usable),
    correction: line ? correctionText(line.id, correction) : '',
    errorRatio: correction?.errorRatio ?? 0,
    lengthUncRatio: unc.ratio,
    lengthUncUm: unc.um,
    sparkToCutterUm: line ? Math.round(line.spark.toCutterM * UM_PER_M) : null,
    drawing: usable ? { usable, mounting: sheet?.mounting ?? bare(usable, place) } : null,
    printer,
    putups: now.works.putups.map((p) => p.putup),
  }
}

function mountedOn({ now }: FloorSource, place: string): DrumRow | null {
  for (const row of now.state.drums.rows()) if (row.mountedOn === place && row.toUm > row.fromUm) return row
  return null
}

/** The run sheet of what is left of a mounting, by the works as it is now. */
function sheetOf(
  { now, released, open }: FloorSource,
  mounting: OpenMounting,
  place: string,
): RunSheet | null {
  const meta = { planNumber: released ? planNumber(released.planId) : '', madeAt: '' }
  const ownLine = open.filter((m) => m.line === place)
  const index = ownLine.indexOf(mounting)
  const works = { ...now.works, sparkTested: testedNow(now) }
  return runSheets(works, { mountings: ownLine }, meta, index)[0] ?? null
}

/** A drum that the plan does not cut: all of it stays. */
function bare({ drum, lengthUm }: UsableDrum, line: string): OpenMounting {
  const rest: Interval = { fromUm: 0, toUm: lengthUm, use: 'remnant', putup: null }
  return { drum: drum.drum, line, intervals: [rest], index: -1 }
}

function drumShown(
  { released }: FloorSource,
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
    outerMark: markText(usable, Math.min(1, lengthUm)),
  }
}

function dangersOf({ works }: FloorNow, line: RewindingLine | null, usable: UsableDrum | null): string[] {
  if (!usable) return []
  const { drum } = usable
  const cable = works.cables.find((c) => c.cable === drum.cable)
  if (!line || !cable) return benchDangers(drum.grossKg)
  return lineDangers(cable, drum.grossKg)
}

interface Uncertainty {
  ratio: number
  um: number
}

/** Spread of the counter's checks with the standard error of their mean, and the spread of the stop; the tape at a bench. */
function uncertaintyOf(
  line: RewindingLine | null,
  correction: ReturnType<typeof counterCorrection>,
): Uncertainty {
  if (!line) return { ratio: 0, um: TAPE_UNC_UM }
  const ratio = correction ? Math.hypot(correction.sdRatio, correction.standardErrorRatio) : UNCHECKED_RATIO
  return { ratio, um: Math.round(line.stopSdM * UM_PER_M) }
}

interface Cutting {
  source: FloorSource
  sheet: RunSheet
  mounting: OpenMounting
  line: RewindingLine | null
  unc: Uncertainty
}

function cutsShown({ source, sheet, mounting, line, unc }: Cutting): FloorCut[] {
  const { intervals } = mounting
  const { works } = source.now
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

function lastPieces({ state, works }: FloorNow, place: string): FloorPiece[] {
  const made: PieceRow[] = []
  for (const piece of state.pieces.rows()) if (piece.line === place && piece.parent === null) made.push(piece)
  made.sort((a, b) => (a.at < b.at ? 1 : a.at > b.at ? -1 : a.serial < b.serial ? 1 : -1))
  return made.slice(0, MOST_DONE).map((piece) => {
    const ordered = works.orders.find((o) => o.order === piece.order && o.line === piece.orderLine)
    const of = ordered ? ` of ${ordered.open?.qty ?? ordered.qty}` : ''
    const order =
      piece.order === null
        ? 'for the shelf'
        : `${piece.order}/${piece.orderLine}, piece ${piece.piece ?? '?'}${of}`
    return {
      serial: piece.serial,
      what: piece.count > 1 ? `${order}, ${piece.count} leads` : order,
      declaredText: piece.declaredText,
      at: piece.at,
      where: piece.where,
    }
  })
}
