import { lengthText } from '../quantity/length-text.ts'
import type { Interval } from '../strip/cut-plan.ts'
import { markText } from '../strip/mark-text.ts'
import type { FaultZone, UsableDrum } from '../strip/usable.ts'
import type { LabelRequest } from './label-rows.ts'
import type { DrawingLine, Shape, Stroke } from './shape.ts'
import { type StripLayout, xOf } from './strip-layout.ts'

const INK: Stroke = { tone: 'ink', width: 1 }
/** A notch narrower than this could not be seen. */
const LEAST_NOTCH_EM = 0.5
const DEPTH_RATIO = 0.22

/** Whether a fault is bitten out of the band, or stays in what is kept or delivered and is drawn as an open notch. */
function staysIn(zone: FaultZone, intervals: Interval[]): boolean {
  if (zone.fault.severity === 'cut_out') return false
  const under = intervals.filter((i) => i.fromUm < zone.coreToUm + 1 && i.toUm > zone.coreFromUm - 1)
  return under.length === 0 || under.some((i) => i.use === 'piece' || i.use === 'remnant')
}

/** Notches on both sides of the band, as wide as the cut-out, and the whiskers of its uncertainty above the band. */
export function faultNotches(
  layout: StripLayout,
  usable: UsableDrum,
  intervals: Interval[],
  bandY: number,
): Shape[] {
  return usable.zones.flatMap((zone) => {
    const open = staysIn(zone, intervals)
    return [
      notch(layout, zone, bandY, 1, open),
      notch(layout, zone, bandY + layout.bandHeight, -1, open),
      ...whiskers(layout, zone, bandY - 0.45 * layout.text),
    ].flat()
  })
}

/** A trapezium: as wide as the zone at the edge of the band, as wide as the fault itself at its bottom. */
function notch(layout: StripLayout, zone: FaultZone, edgeY: number, down: 1 | -1, open: boolean): Shape[] {
  const depth = down * DEPTH_RATIO * layout.bandHeight
  const middle = xOf(layout, (zone.coreFromUm + zone.coreToUm) / 2)
  const half = (LEAST_NOTCH_EM * layout.text) / 2
  const clamp = (x: number) => Math.min(Math.max(x, layout.left), layout.right)
  const points: [number, number][] = [
    [clamp(Math.min(xOf(layout, zone.fromUm), middle - half)), edgeY],
    [clamp(xOf(layout, zone.coreFromUm)), edgeY + depth],
    [clamp(xOf(layout, zone.coreToUm)), edgeY + depth],
    [clamp(Math.max(xOf(layout, zone.toUm), middle + half)), edgeY],
  ]
  const of = { fault: zone.fault.fault }
  if (open) return [{ kind: 'polyline', points, stroke: { ...INK, dash: [2, 1.5] }, of }]
  // the paper reaches past the edge, so that it bites through the outline of the band
  const bite: [number, number][] = points.map(([x, y]) => [x, y === edgeY ? y - down : y])
  return [
    { kind: 'polygon', points: bite, fill: 'paper', stroke: null, of },
    { kind: 'polyline', points, stroke: INK, of },
  ]
}

function whiskers(layout: StripLayout, zone: FaultZone, y: number): Shape[] {
  const uncertain = zone.fault.posUncUm
  const a = Math.max(xOf(layout, zone.coreFromUm - uncertain), layout.left)
  const b = Math.min(xOf(layout, zone.coreToUm + uncertain), layout.right)
  const cap = 0.22 * layout.text
  const of = { fault: zone.fault.fault }
  const stroke: Stroke = { tone: 'ink', width: 0.8 }
  return [
    {
      kind: 'polyline',
      points: [
        [a, y],
        [b, y],
      ],
      stroke,
      of,
    },
    {
      kind: 'polyline',
      points: [
        [a, y - cap],
        [a, y + cap],
      ],
      stroke,
      of,
    },
    {
      kind: 'polyline',
      points: [
        [b, y - cap],
        [b, y + cap],
      ],
      stroke,
      of,
    },
  ]
}

/** The letter code of each fault; neighbours of one code share a label, so that a bad drum stays readable. */
export function faultLabels(layout: StripLayout, usable: UsableDrum): LabelRequest[] {
  const labels: (LabelRequest & { code: string; count: number; lastX: number })[] = []
  for (const zone of usable.zones) {
    const x = Math.min(
      Math.max(xOf(layout, (zone.coreFromUm + zone.coreToUm) / 2), layout.left),
      layout.right,
    )
    const before = labels[labels.length - 1]
    if (before && before.code === zone.fault.code && x - before.lastX < layout.text) {
      before.count++
      before.lastX = x
      before.text = `${before.count} ${before.code}`
    } else {
      const code = zone.fault.code
      labels.push({ anchorX: x, text: code, of: { fault: zone.fault.fault }, code, count: 1, lastX: x })
    }
  }
  return labels.map(({ anchorX, text, of }) => ({ anchorX, text, of }))
}

const SEVERITY = { cut_out: 'to be cut out', downgrade: 'downgrade', note: 'note' } as const

/** "fault F008 LUMP, diameter over limit, to be cut out, 484.6 m from the outer end at mark 1484.5 m, give or take 0.3 m". */
export function faultLines(usable: UsableDrum): DrawingLine[] {
  return usable.zones.map((zone) => {
    const { fault } = zone
    const what = fault.what ? `, ${fault.what}` : ''
    const mark = markText(usable, zone.coreFromUm)
    const place = `${lengthText(zone.coreFromUm, 'm', 1)} from the outer end${mark ? ` at mark ${mark}` : ''}`
    const unc = `give or take ${lengthText(fault.posUncUm, 'm', 2)}`
    return {
      text: `fault ${fault.fault} ${fault.code}${what}, ${SEVERITY[fault.severity]}, ${place}, ${unc}`,
      of: { fault: fault.fault },
    }
  })
}
