import { readFile } from 'node:fs/promises'
import { beforeAll, describe, expect, it, test } from 'vitest'
import type { Column } from '../../src/works/column.ts'
import {
  CUT_COLUMNS,
  LENGTH_WITNESS_COLUMNS,
  type MoreFile,
  parseMoreRecords,
  SEAL_COLUMNS,
} from '../../src/works/more-records.ts'
import type { Works } from '../../src/works/works.ts'
import { demoWorks } from './demo-works.ts'

let works: Works
beforeAll(async () => {
  works = (await demoWorks()).works
})

const CUTS = 'serial,line,cable,cut_date,declared_m,counter_m'
const SEALS = 'line,verified_date,verification_due_date'
const WITNESSES =
  'drum,measured_date,counter_m,counter_unc_m,loop_ohm,loop_unc_ohm,temp_c,round_trip_ns,round_trip_unc_ns,takeup_turns'

function parsed(file: MoreFile, ...lines: string[]) {
  return parseMoreRecords(new Map([[file, new TextEncoder().encode(lines.join('\r\n'))]]), works)
}

/** column and row of each problem. */
function wrong(file: MoreFile, ...lines: string[]): string[] {
  const result = parsed(file, ...lines)
  return result.ok ? [] : result.problems.map((p) => `${p.row ?? '-'} ${p.column ?? '-'}`)
}

describe('optional records of a works folder', () => {
  it('what is not there is not recorded; a header without rows is a record of nothing', () => {
    expect(parseMoreRecords(new Map(), works)).toMatchObject({
      ok: true,
      more: { cuts: null, seals: null, lengthWitnesses: null },
    })
    expect(parsed('more/cuts.csv', CUTS)).toMatchObject({ ok: true, more: { cuts: [] } })
  })

  test.each<[string, MoreFile, string[], string[]]>([
    ['unknown line', 'more/cuts.csv', [CUTS, 'K1,RW-9,C081-50,2031-03-01,100,100.1'], ['2 line']],
    ['unknown cable', 'more/cuts.csv', [CUTS, 'K1,RW-1,C999-50,2031-03-01,100,100.1'], ['2 cable']],
    ['no real date', 'more/cuts.csv', [CUTS, 'K1,RW-1,C081-50,2031-02-31,100,100.1'], ['2 cut_date']],
    ['length nought', 'more/cuts.csv', [CUTS, 'K1,RW-1,C081-50,2031-03-01,0,100.1'], ['2 declared_m']],
    ['unit in cell', 'more/cuts.csv', [CUTS, 'K1,RW-1,C081-50,2031-03-01,100 m,100.1'], ['2 declared_m']],
    ['serial like a path', 'more/cuts.csv', [CUTS, '../K1,RW-1,C081-50,2031-03-01,100,100'], ['2 serial']],
    [
      'serial twice',
      'more/cuts.csv',
      [CUTS, ...Array(2).fill('K1,RW-1,C081-50,2031-03-01,100,100')],
      ['3 serial'],
    ],
    ['column missing', 'more/cuts.csv', ['serial,line,cable,cut_date,declared_m'], ['1 counter_m']],
    ['counter twice', 'more/counters.csv', [SEALS, 'RW-1,,', 'RW-1,,'], ['3 line']],
    ['unknown drum', 'more/length_witnesses.csv', [WITNESSES, 'D999,2031-03-01,,,,,,,,'], ['2 drum']],
    [
      'resistance alone',
      'more/length_witnesses.csv',
      [WITNESSES, 'D015,2031-03-01,,,7.7,,,,,'],
      ['2 loop_unc_ohm', '2 temp_c'],
    ],
    [
      'time alone',
      'more/length_witnesses.csv',
      [WITNESSES, 'D015,2031-03-01,,,,,,4519,,'],
      ['2 round_trip_unc_ns'],
    ],
    ['empty file', 'more/cuts.csv', [''], ['- -']],
  ])('%s', (_name, file, lines, problems) => {
    expect(wrong(file, ...lines)).toEqual(problems)
  })

  it('any id works, whatever word it is', () => {
    const result = parsed('more/cuts.csv', CUTS, 'constructor,RW-1,C081-50,2031-03-01,100,100.1')
    expect(result).toMatchObject({ ok: true, more: { cuts: [{ id: 'constructor' }] } })
  })
})

test('docs/works-folder.md has the columns of the optional records', async () => {
  const doc = await readFile('docs/works-folder.md', 'utf8')
  const files: [MoreFile, object][] = [
    ['more/cuts.csv', CUT_COLUMNS],
    ['more/counters.csv', SEAL_COLUMNS],
    ['more/length_witnesses.csv', LENGTH_WITNESS_COLUMNS],
  ]
  for (const [file, columns] of files) {
    const section = doc.split(`\n## ${file}\n`)[1]?.split('\n## ')[0] ?? ''
    const documented = [...section.matchAll(/^\|(\w+)\|.+?\|(required|may be empty)\|/gm)].map(
      ([, name, value]) => [name, value === 'may be empty'],
    )
    const read = (Object.values(columns) as Column<unknown>[]).map((c) => [c.name, c.empty === null])
    expect(documented, file).toEqual(read)
  }
})
