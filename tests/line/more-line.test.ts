import { readFile } from 'node:fs/promises'
import { beforeAll, describe, expect, it, test } from 'vitest'
import { lineSettings } from '../../src/line/line-settings.ts'
import { settingRows, settingWarnings } from '../../src/line/setting-rows.ts'
import type { Plan } from '../../src/plan/plan.ts'
import type { Column } from '../../src/works/column.ts'
import {
  LINE_SETTING_COLUMNS,
  type MoreLine,
  parseMoreLine,
  SPARK_CHECK_COLUMNS,
  SPARK_TEST_COLUMNS,
} from '../../src/works/more-line.ts'
import type { Works } from '../../src/works/works.ts'
import { demoLine } from './demo-settings.ts'

let works: Works
let plan: Plan
beforeAll(async () => {
  ;({ works, plan } = await demoLine())
})

const SETTINGS = 'line,input,value,source'
const TESTS = 'drum,from_m,to_m,tested_date,kv_rms'
const CHECKS = 'line,check_date,fault_seen,voltage_right,bond_sound'
const FILES = {
  settings: 'more/line_settings.csv',
  tests: 'more/spark_tests.csv',
  checks: 'more/spark_checks.csv',
} as const

const parsed = (file: keyof typeof FILES, ...lines: string[]) =>
  parseMoreLine(new Map([[FILES[file], new TextEncoder().encode(lines.join('\r\n'))]]), works)

function sound(file: keyof typeof FILES, ...lines: string[]): MoreLine {
  const result = parsed(file, ...lines)
  if (!result.ok) throw new Error(JSON.stringify(result.problems))
  return result.more
}

describe('what more/ says of the lines is refused by row and column', () => {
  it.each<[string, keyof typeof FILES, string[], string]>([
    ['an input that is none', 'settings', [SETTINGS, 'RW-1,speedMaxMPerMin,100,x'], '2 input'],
    ['a line that is not there', 'settings', [SETTINGS, 'RW-9,payoffLagS,0.2,x'], '2 line'],
    ['an input twice', 'settings', [SETTINGS, 'RW-1,payoffLagS,0.2,x', 'RW-1,payoffLagS,0.3,x'], '3 input'],
    ['half a drive', 'settings', [SETTINGS, 'RW-1,payoffDriven,0.5,x'], '2 value'],
    ['no source', 'settings', [SETTINGS, 'RW-1,payoffLagS,0.2,'], '2 source'],
    ['a source like a formula', 'settings', [SETTINGS, 'RW-1,payoffLagS,0.2,=1+1'], '2 source'],
    ['beyond the drum', 'tests', [TESTS, 'D001,0,9000,2031-01-01,5'], '2 to_m'],
    ['the wrong way round', 'tests', [TESTS, 'D001,50,40,2031-01-01,5'], '2 to_m'],
    ['a drum that is not there', 'tests', [TESTS, 'D999,0,5,2031-01-01,5'], '2 drum'],
    ['no yes or no', 'checks', [CHECKS, 'RW-1,2031-03-03,yes,maybe,yes'], '2 voltage_right'],
    ['no real date', 'checks', [CHECKS, 'RW-1,2031-02-30,yes,yes,yes'], '2 check_date'],
  ])('%s', (_name, file, lines, place) => {
    const result = parsed(file, ...lines)
    expect(result.ok ? [] : result.problems.map((p) => `${p.row} ${p.column}`)).toContain(place)
  })

  it('says nothing where nothing is recorded', () => {
    expect(parseMoreLine(new Map(), works)).toMatchObject({ ok: true, more: {} })
  })
})

describe('what more/ says of the lines is used', () => {
  it('a setting of the works, with its source beside it', () => {
    const more = sound(
      'settings',
      SETTINGS,
      'RW-1,minDwellCycles,20,standard read on 2031-01-05',
      'RW-1,payoffDriven,0,x',
    )
    const s = lineSettings({ ...works, ...more }, plan.mountings).find((x) => x.line === 'RW-1')!
    // 50 Hz · 0.5 m / 20 cycles = 1.25 m/s
    expect(s.spark.speedLimitMPerMin).toBeCloseTo(75, 9)
    expect(s.limits.find((l) => l.name === 'cycles in the electrode')!.source).toBe(
      'standard read on 2031-01-05',
    )
    expect(s.payoff.driven).toBe(false)
  })

  it('a spark test on record covers what a mounting does not test', () => {
    const bare = lineSettings(works, plan.mountings).find((s) => s.spark.untestedM > 0)!
    const bookM = works.drums.find((d) => d.drum === bare.drum)!.bookUm / 1e6
    const more = sound('tests', TESTS, `${bare.drum},0,${bookM},2031-01-01,5`)
    const covered = lineSettings({ ...works, ...more }, plan.mountings).find(
      (s) => s.mounting === bare.mounting,
    )!
    expect(covered.spark).toMatchObject({ untestedM: 0, heldCuts: [] })
  })

  it('a failed check names the pieces since the last good one', () => {
    const more = sound('checks', CHECKS, 'RW-2,2031-02-24,yes,yes,yes', 'RW-2,2031-02-25,no,yes,yes')
    const cutPieces = [
      { serial: 'K1', line: 'RW-2', at: '2031-02-23' },
      { serial: 'K2', line: 'RW-2', at: '2031-02-25' },
      { serial: 'K3', line: 'RW-1', at: '2031-02-25' },
    ]
    const s = lineSettings({ ...works, ...more, cutPieces }, plan.mountings).find((x) => x.line === 'RW-2')!
    expect(settingWarnings(s).join(' ')).toContain('suspect since 2031-02-24: K2.')
    expect(settingRows(s).find((r) => r.name === 'Tester check')!.text).toContain('failed')
  })
})

test('docs/works-folder.md has the columns of these files', async () => {
  const doc = await readFile('docs/works-folder.md', 'utf8')
  const files: [string, object][] = [
    [FILES.settings, LINE_SETTING_COLUMNS],
    [FILES.tests, SPARK_TEST_COLUMNS],
    [FILES.checks, SPARK_CHECK_COLUMNS],
  ]
  for (const [file, columns] of files) {
    const section = doc.split(`\n## ${file}\n`)[1]?.split('\n## ')[0] ?? ''
    const documented = [...section.matchAll(/^\|(\w+)\|.+?\|(required|may be empty)\|/gm)].map(
      ([, name]) => name,
    )
    expect(documented, file).toEqual((Object.values(columns) as Column<unknown>[]).map((c) => c.name))
  }
})
