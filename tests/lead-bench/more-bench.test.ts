import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import type { Column } from '../../src/works/column.ts'
import {
  BENCH_TIME_COLUMNS,
  FINISHED_LEAD_COLUMNS,
  KIT_PART_COLUMNS,
  KIT_STOCK_COLUMNS,
  OPEN_LEAD_COLUMNS,
  parseMoreBench,
  TOOL_COLUMNS,
} from '../../src/works/more-bench.ts'
import { works } from '../lead/demo-works.ts'

const parsed = (file: string, ...lines: string[]) =>
  parseMoreBench(new Map([[`more/${file}`, new TextEncoder().encode(lines.join('\r\n'))]]), works)

const FINISHED = 'serial,cable,conn_a,conn_b,finished_date,cut_m,length_m'
const OPEN = 'serial,cable,lot,conn_a,conn_b,round_trip_ps,temp_c'
const STOCK = 'part,lot,received_date,pieces'
const PARTS = 'part,what,connector,pieces'
const TOOLS = 'tool,kind,what,hex_af_mm,interface,setting_min_nm,setting_max_nm,calibration_due_date'
const TIMES = 'task,minutes,source'
const ENDS = 'C059-50,N-C-059,N-C-059'

describe('what more/ says of the bench', () => {
  test.each([
    [
      'a serial twice',
      'finished_leads.csv',
      [FINISHED, `A,${ENDS},2031-01-02,1,1.02`, `A,${ENDS},2031-01-02,1,1.02`],
      '3 serial',
    ],
    [
      'a connector of another cable',
      'finished_leads.csv',
      [FINISHED, 'A,C059-50,N-C-059,N-C-081,2031-01-02,1,1.02'],
      '2 conn_b',
    ],
    [
      'an unknown cable',
      'finished_leads.csv',
      [FINISHED, 'A,C1,N-C-059,N-C-059,2031-01-02,1,1.02'],
      '2 cable',
    ],
    ['millimetres for metres', 'finished_leads.csv', [FINISHED, `A,${ENDS},2031-01-02,1,1020`], '2 length_m'],
    ['no real date', 'finished_leads.csv', [FINISHED, `A,${ENDS},2031-02-30,1,1.02`], '2 finished_date'],
    [
      'an open lead that is finished',
      'open_leads.csv',
      [OPEN, 'KJ31-4001,C059-50,L,N-C-059,N-C-059,24000,20'],
      '2 serial',
    ],
    [
      'a round trip of nought',
      'open_leads.csv',
      [OPEN, 'A,C059-50,L,N-C-059,N-C-059,0,20'],
      '2 round_trip_ps',
    ],
    ['a lot of a part twice', 'kit_stock.csv', [STOCK, 'P,L,2031-01-02,1', 'P,L,2031-01-03,1'], '3 lot'],
    ['half a part', 'kit_stock.csv', [STOCK, 'P,L,2031-01-02,0.5'], '2 pieces'],
    ['a part of a connector twice', 'kit_parts.csv', [PARTS, 'P,x,,1', 'P,x,,1'], '3 part'],
    ['a formula', 'kit_parts.csv', [PARTS, 'P,=1+1,,1'], '2 what'],
    ['a die without its size', 'tools.csv', [TOOLS, 'D,die,,,,,,'], '2 hex_af_mm'],
    ['a wrench without its interface', 'tools.csv', [TOOLS, 'W,wrench,,,,1,2,'], '2 interface'],
    ['a wrench without its setting', 'tools.csv', [TOOLS, 'W,wrench,,,N,1,,'], '2 setting_max_nm'],
    ['a setting upside down', 'tools.csv', [TOOLS, 'W,wrench,,,N,2,1,'], '2 setting_max_nm'],
    ['an unknown kind', 'tools.csv', [TOOLS, 'W,hammer,,,,,,'], '2 kind'],
    ['a task twice', 'bench_times.csv', [TIMES, 'rf,1,book', 'rf,2,book'], '3 task'],
    ['a time below nought', 'bench_times.csv', [TIMES, 'rf,-1,book'], '2 minutes'],
  ])('%s is refused by row and column', (_, file, lines, place) => {
    const result = parsed(file, ...lines)
    expect(result.ok ? [] : result.problems.map((p) => `${p.row} ${p.column}`)).toContain(place)
  })

  test('a file that is not there is not recorded; one without rows is a record of nothing', () => {
    const none = {
      finishedLeads: null,
      openLeads: null,
      kitStock: null,
      kitParts: null,
      tools: null,
      benchTimes: null,
    }
    expect(parseMoreBench(new Map(), works)).toMatchObject({ ok: true, more: none })
    expect(parsed('kit_stock.csv', STOCK)).toMatchObject({ ok: true, more: { ...none, kitStock: [] } })
  })

  test('a sound file is read', () => {
    expect(parsed('finished_leads.csv', FINISHED, `A,${ENDS},2031-01-02,2.981,3.0003`)).toMatchObject({
      ok: true,
      more: { finishedLeads: [{ serial: 'A', cutUm: 2_981_000, lengthUm: 3_000_300 }] },
    })
  })

  test.each([
    ['more/finished_leads.csv', FINISHED_LEAD_COLUMNS],
    ['more/open_leads.csv', OPEN_LEAD_COLUMNS],
    ['more/kit_stock.csv', KIT_STOCK_COLUMNS],
    ['more/kit_parts.csv', KIT_PART_COLUMNS],
    ['more/tools.csv', TOOL_COLUMNS],
    ['more/bench_times.csv', BENCH_TIME_COLUMNS],
  ])('docs/works-folder.md has the columns of %s', (file, columns) => {
    const doc = readFileSync('docs/works-folder.md', 'utf8')
    const section = doc.split(`\n## ${file}\n`)[1]?.split('\n## ')[0] ?? ''
    const documented = [...section.matchAll(/^\|(\w+)\|.+?\|(required|may be empty)\|/gm)].map((m) => [
      m[1],
      m[2] === 'may be empty',
    ])
    expect((Object.values(columns) as Column<unknown>[]).map((c) => [c.name, c.empty === null])).toEqual(
      documented,
    )
  })
})
