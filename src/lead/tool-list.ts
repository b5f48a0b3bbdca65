import { figureText } from '../quantity/length-text.ts'
import type { Connector } from './connector.ts'
import type { Tool, ToolKind } from './tool.ts'

/** A tool that a line of leads needs. */
export interface ToolNeed {
  kind: ToolKind
  /** What it must be: the die's size, the wrench's setting. */
  what: string
  /** Wrenches: what to set, N m: the middle of the range on the part's sheet. */
  settingNm: number | null
  /** Tools of the works that are as needed; null: not recorded. */
  tools: { tool: string; calibrationDueDate: string | null; overdue: boolean }[] | null
  /** What is wrong, in words; null where a tool is there and may be used. */
  trouble: string | null
}

/**
 * Customary coupling torque by interface, N m (common practice of the trade; the part's sheet counts). A part that is far from
 * it may have been written in inch-pounds.
 */
const CUSTOMARY_NM: Record<string, [least: number, most: number]> = {
  N: [0.7, 1.7],
  SMA: [0.57, 1.1],
  '7-16': [25, 30],
  '4.3-10': [5, 5],
  F: [2.3, 3.4],
}
/** An inch-pound is 0.113 N m: what is off by more than this factor is more likely a wrong unit than another habit. */
const FAR_OFF = 3

export function toolList(ends: Connector[], tools: Tool[] | null, today: string): ToolNeed[] {
  const needs: ToolNeed[] = []
  const need = (
    kind: ToolKind,
    what: string,
    fits: (tool: Tool) => boolean,
    settingNm: number | null = null,
  ) => {
    if (!needs.some((n) => n.kind === kind && n.what === what))
      needs.push(matched({ kind, what, settingNm }, tools, fits, today))
  }
  need('cutter', 'cutter with length stop', () => true)
  need('stripper', 'stripper set to the strip dimensions', () => true)
  for (const end of ends) {
    const { method, pinMethod, ferruleHexAfMm: hex, torqueMinNm: least, torqueMaxNm: most } = end
    if (hex !== null) need('die', `hexagon ${hex} mm across flats`, (tool) => tool.hexAfMm === hex)
    if (method === 'solder' || pinMethod === 'solder') need('iron', 'iron at 320 to 370 °C', () => true)
    if (method === 'compression') need('compression_tool', `compression tool, ${end.interface}`, () => true)
    if (method === 'clamp_solder_pin') need('clamp_spanner', 'spanners for the clamp nut', () => true)
    if (pinMethod !== 'none')
      need('pin_gauge', `pin height, ${end.interface}`, (tool) => tool.connection === end.interface)
    if (least === null || most === null) continue
    const set = (least + most) / 2
    need(
      'wrench',
      `${end.interface}, ${figureText(least, 2)} to ${figureText(most, 2)} N m${oddTorque(end.interface, least, most)}`,
      (tool) =>
        tool.connection === end.interface && tool.settingMinNm! <= most && tool.settingMaxNm! >= least,
      set,
    )
  }
  return needs
}

function oddTorque(connection: string, least: number, most: number): string {
  const usual = CUSTOMARY_NM[connection]
  if (!usual || (most <= FAR_OFF * usual[1] && least >= usual[0] / FAR_OFF)) return ''
  return `; customary are ${usual[0]} to ${usual[1]} N m: look at the unit on the part's sheet`
}

function matched(
  need: Pick<ToolNeed, 'kind' | 'what' | 'settingNm'>,
  tools: Tool[] | null,
  fits: (tool: Tool) => boolean,
  today: string,
): ToolNeed {
  if (tools === null) return { ...need, tools: null, trouble: 'tools are not recorded (more/tools.csv)' }
  const found = tools
    .filter((tool) => tool.kind === need.kind && fits(tool))
    .map(({ tool, calibrationDueDate }) => ({
      ...{ tool, calibrationDueDate },
      overdue: calibrationDueDate !== null && calibrationDueDate < today,
    }))
  const overdue = found.filter((tool) => tool.overdue)
  const trouble =
    found.length === 0
      ? 'the works has none on record'
      : overdue.length === found.length
        ? `due for calibration: ${overdue.map((t) => `${t.tool} on ${t.calibrationDueDate}`).join(', ')}`
        : null
  return { ...need, tools: found, trouble }
}
