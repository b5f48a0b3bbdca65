import type { CutRecord } from './cut-record.ts'
import type { KitPart, KitStock } from './kit-stock.ts'
import type { OpenLead } from './set-open-lead.ts'
import type { BenchTime } from './step-times.ts'
import type { Tool } from './tool.ts'

/** What the works records of its bench beyond the sixteen files; null: not recorded. */
export interface BenchRecords {
  finishedLeads: CutRecord[] | null
  openLeads: OpenLead[] | null
  kitStock: KitStock[] | null
  kitParts: KitPart[] | null
  tools: Tool[] | null
  benchTimes: BenchTime[] | null
}
