import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { instrumentOverdue } from '../../src/lead/instrument.ts'
import type { Column } from '../../src/works/column.ts'
import { CONNECTOR_POWER_COLUMNS, INSTRUMENT_COLUMNS, parseMoreLead } from '../../src/works/more-lead.ts'
import { works } from './demo-works.ts'

const POWER = 'part,f_mhz,power_max_w'
const INSTRUMENTS = 'instrument,what,u_loss_db,u_gamma_ratio,calibrated_date,calibration_due_date'
const parsed = (file: string, ...lines: string[]) =>
  parseMoreLead(new Map([[`more/${file}`, new TextEncoder().encode(lines.join('\r\n'))]]), works)

describe('what more/ says of leads', () => {
  test.each([
    ['a connector that is not there', 'connector_power.csv', [POWER, 'N-X,30,100'], '2 part'],
    ['a frequency twice', 'connector_power.csv', [POWER, 'N-C-081,30,100', 'N-C-081,30,90'], '3 f_mhz'],
    ['no power', 'connector_power.csv', [POWER, 'N-C-081,30,0'], '2 power_max_w'],
    [
      'an instrument twice',
      'instruments.csv',
      [INSTRUMENTS, 'A,,0.1,0.01,,', 'A,,0.1,0.01,,'],
      '3 instrument',
    ],
    ['an uncertainty of nought', 'instruments.csv', [INSTRUMENTS, 'A,,0,0.01,,'], '2 u_loss_db'],
    ['a formula', 'instruments.csv', [INSTRUMENTS, 'A,=1+1,0.1,0.01,,'], '2 what'],
    ['no real date', 'instruments.csv', [INSTRUMENTS, 'A,,0.1,0.01,2031-02-30,'], '2 calibrated_date'],
  ])('%s is refused by row and column', (_, file, lines, place) => {
    const result = parsed(file, ...lines)
    expect(result.ok ? [] : result.problems.map((p) => `${p.row} ${p.column}`)).toContain(place)
  })

  test('a file that is not there is not recorded; one without rows is a record of nothing', () => {
    expect(parseMoreLead(new Map(), works)).toMatchObject({
      ok: true,
      more: { connectorPower: null, instruments: null },
    })
    expect(parsed('connector_power.csv', POWER)).toMatchObject({ ok: true, more: { connectorPower: [] } })
  })

  test('calibration counts by the day', () => {
    const of = (dueDate: string | null) =>
      instrumentOverdue(
        { instrument: 'A', what: null, lossDb: 0.1, gamma: 0.01, calibratedDate: null, dueDate },
        '2031-03-03',
      )
    expect(of('2031-03-03')).toBeNull()
    expect(of('2031-03-02')).toContain('proves nothing')
    expect(of(null)).toBeNull()
  })

  test.each([
    ['more/connector_power.csv', CONNECTOR_POWER_COLUMNS],
    ['more/instruments.csv', INSTRUMENT_COLUMNS],
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
