/** A tool of the bench. A row of more/tools.csv; null where the cell is empty. */
export interface Tool {
  tool: string
  kind: ToolKind
  what: string | null
  /** Dies: hexagon across flats, mm. */
  hexAfMm: number | null
  /** Wrenches: connector interface that the head fits, and the range of its setting. */
  connection: string | null
  settingMinNm: number | null
  settingMaxNm: number | null
  /** null: needs no calibration, or none is recorded. */
  calibrationDueDate: string | null
}

export const TOOL_KINDS = [
  'cutter',
  'stripper',
  'die',
  'iron',
  'compression_tool',
  'clamp_spanner',
  'wrench',
  'pin_gauge',
] as const

export type ToolKind = (typeof TOOL_KINDS)[number]
