import type { LotTest } from '../ledger/lot-test.ts'
import type { PlanInput } from '../plan/plan-input.ts'
import { parseMoreStock } from './more-stock.ts'
import type { Problem } from './problem.ts'

/** Rows of lot tests as pasted: with the headings of more/lot_tests.csv, cells parted by tab, semicolon or comma; as strict as the file. */
export function readLotTests(
  text: string,
  works: PlanInput,
): { tests: LotTest[]; problems: Problem[]; beyond: number } {
  const first = text.slice(0, text.search(/\r|\n|$/))
  const separator = ['\t', ';'].find((s) => first.includes(s))
  const csv = separator ? text.replaceAll(separator, ',') : text
  const files = new Map([['more/lot_tests.csv', new TextEncoder().encode(csv.trim())]])
  const result = parseMoreStock(files, works)
  if (result.ok) return { tests: result.more.lotTests ?? [], problems: [], beyond: 0 }
  return { tests: [], problems: result.problems, beyond: result.beyond }
}
