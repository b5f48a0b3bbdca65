import { describe, expect, test } from 'vitest'
import { parseWorks } from '../../src/works/parse-works.ts'
import { applyEdit, type Edit } from './breach-edit.ts'
import { encoded, kelderwickFiles, kelderwickText } from './kelderwick-files.ts'

function parsed(...edits: Edit[]) {
  const files = kelderwickFiles()
  for (const edit of edits) applyEdit(files, edit)
  const result = parseWorks('kelderwick', files)
  if (!result.ok) throw new Error(JSON.stringify(result.problems.slice(0, 3)))
  return result
}

test('the demo works is read whole', () => {
  const { works } = parsed()
  // one record for each row below the header of the file
  const rows = (name: string) => kelderwickText(name).trimEnd().split('\r\n').length - 1
  expect(works.folder).toBe('kelderwick')
  expect(works.cables).toHaveLength(rows('cables.csv'))
  expect(works.attenuation).toHaveLength(rows('attenuation.csv'))
  expect(works.orders).toHaveLength(rows('orders.csv'))
  expect(works.lineRun).toHaveLength(rows('line_run.csv'))
  expect(works.markets.map((m) => m.market)).toEqual(['DE', 'UK', 'US', 'EXP'])
  expect(works.site.lines[1]?.dancer.limitHighPct).toBe(88)
  expect(works.benchHall.people[6]).toEqual({ id: 'P7', role: 'packer G', skills: ['B5:pack', 'OV-1'] })
})

test('lengths are whole micrometres; feet are exact (16 CFR 500.19: 1 ft = 0.3048 m)', () => {
  const { works } = parsed()
  const feet = works.orders.find((o) => o.order === '7116')
  expect(feet).toMatchObject({ lengthTyped: '328', unit: 'ft', lengthUm: 99_974_400, minPieceUm: null })
  expect(works.drums[1]?.bookUm).toBe(8_700_000)
  expect(works.site.cutRules).toMatchObject({ faultMarginUm: 250_000, lengthGuardRatio: 0.001 })
})

test('the result is frozen', () => {
  const { works } = parsed()
  expect(Object.isFrozen(works) && Object.isFrozen(works.orders[0]) && Object.isFrozen(works.drums[0])).toBe(
    true,
  )
})

describe('what the contract allows', () => {
  const same = (files: Map<string, Uint8Array>) => {
    const result = parseWorks('kelderwick', files)
    expect(result).toEqual(parsed())
  }

  test('LF or a mix of line ends, blank lines, no last line end, a byte-order mark', () => {
    const text = kelderwickText('drums.csv')
    same(kelderwickFiles().set('drums.csv', encoded(text.replaceAll('\r\n', '\n').trimEnd())))
    same(kelderwickFiles().set('drums.csv', encoded(`\uFEFF${text.replace('\r\n', '\n')}`)))
    same(kelderwickFiles().set('drums.csv', encoded(`${text}\r\n\n  \r\n`)))
    same(kelderwickFiles().set('costs.json', encoded(`\uFEFF${kelderwickText('costs.json')}`)))
  })

  test('columns in any order, every cell quoted', () => {
    const reversed = kelderwickText('putups.csv')
      .trimEnd()
      .split('\r\n')
      .map((line) =>
        line
          .split(',')
          .reverse()
          .map((cell) => `"${cell}"`)
          .join(','),
      )
    same(kelderwickFiles().set('putups.csv', encoded(reversed.join('\n'))))
  })

  test('a column and a key that are not known are ignored with a notice', () => {
    const { notices } = parsed({ file: 'costs.json', json: ['glue_eur'], value: 1 })
    expect(notices).toContainEqual(
      expect.objectContaining({ file: 'costs.json', column: 'glue_eur', kind: 'unknown-column' }),
    )
    const text = kelderwickText('putups.csv').trimEnd().split('\r\n')
    const wider = text.map((line, i) => (i === 0 ? `${line},shelf` : `${line},A`)).join('\n')
    const result = parseWorks('kelderwick', kelderwickFiles().set('putups.csv', encoded(wider)))
    expect(result.ok && result.notices).toContainEqual(
      expect.objectContaining({ file: 'putups.csv', row: 1, column: 'shelf', kind: 'unknown-column' }),
    )
  })

  test('exponents, a header without rows in faults.csv and orders.csv, and a quoted line end', () => {
    const { works } = parsed(
      { file: 'drums.csv', row: 2, column: 'book_m', value: '8.04e2' },
      { file: 'drums.csv', row: 3, column: 'note', value: 'one\ntwo\r\nthree' },
    )
    expect(works.drums[0]?.bookUm).toBe(804_000_000)
    expect(works.drums[1]?.note).toBe('one\ntwo\r\nthree')
    for (const name of ['faults.csv', 'orders.csv']) {
      const header = kelderwickText(name).split('\r\n')[0]!
      expect(parseWorks('k', kelderwickFiles().set(name, encoded(header))).ok).toBe(true)
    }
  })

  test.each([
    ['marks meet within 0.5 m', { file: 'marks.csv', row: 2, column: 'to_m', value: '803.5' }],
    [
      'a fault lies 0.6 m outside its segment',
      { file: 'faults.csv', row: 2, column: 'mark_from', value: '3305.5' },
    ],
    ['gross is 0.5 kg below tare', { file: 'drums.csv', row: 3, column: 'gross_kg', value: '0' }],
    ['text begins with a minus and a blank', { file: 'orders.csv', row: 2, column: 'note', value: '- none' }],
    ['text begins with a plus and a digit', { file: 'orders.csv', row: 2, column: 'note', value: '+49 30' }],
    ['a cell has 500 characters', { file: 'orders.csv', row: 2, column: 'note', value: 'é'.repeat(500) }],
    ['a length of 100000 m', { file: 'counter_checks.csv', row: 2, column: 'tape_m', value: '100000' }],
    ['ten thousand pieces', { file: 'orders.csv', row: 2, column: 'qty', value: '10000' }],
    ['29 February of a leap year', { file: 'orders.csv', row: 2, column: 'due_date', value: '2032-02-29' }],
  ] as [string, Edit][])('%s', (_name, edit) => {
    expect(parsed(edit).works.orders.length).toBeGreaterThan(0)
  })
})

describe('rows are counted as a spreadsheet counts them', () => {
  test('a quoted line end stays in its row, a blank line is a row', () => {
    const files = kelderwickFiles()
    applyEdit(files, { file: 'drums.csv', row: 2, column: 'note', value: 'a\nb' })
    applyEdit(files, { file: 'drums.csv', replace: ['R002,', '\r\nR002,'] })
    applyEdit(files, { file: 'drums.csv', replace: ['free,0.1,', 'lost,0.1,'] })
    const result = parseWorks('kelderwick', files)
    expect(result.ok ? [] : result.problems).toMatchObject([{ file: 'drums.csv', row: 4, column: 'status' }])
  })
})

describe('what is shown but refuses nothing', () => {
  const kinds = (...edits: Edit[]) => parsed(...edits).notices.map((n) => `${n.kind} ${n.file} ${n.row}`)

  test('the demo: one line no stretch is long enough for, one group no lot holds, one drum shorter than booked', () => {
    // known from the issue of this feature: 7118/1 and the pair 7117/1; D015 is printed over 575.7 m of 589 m
    expect(kinds()).toEqual([
      'line-unservable orders.csv 20',
      'group-unservable orders.csv 19',
      'witness-marks drums.csv 16',
    ])
  })

  test('a put-up that is too small, too tight, not wound by the line, or unmarked wood', () => {
    const putup = (value: string): Edit => ({ file: 'orders.csv', row: 2, column: 'putup', value })
    expect(kinds(putup('PD-300'))).toContain('putup-unfit orders.csv 2')
    expect(kinds(putup('BB-200'))).toContain('putup-unfit orders.csv 2')
    expect(kinds(putup('WN-1000'))).toContain('wood-unfit orders.csv 2')
  })

  test('weight flags only beyond 1 % plus the scale plus 2 % of mass', () => {
    // D012: C081-50; book 1040 m; net 87.2 kg; mass from the file
    const mass = parsed().works.cables.find((c) => c.cable === 'C081-50')!.massKgKm
    const at = (lengthM: number): Edit => ({
      file: 'drums.csv',
      row: 13,
      column: 'gross_kg',
      value: String(135 + (lengthM * mass) / 1000),
    })
    const allowedM = 0.03 * 1040 + 0.1 / (mass / 1000)
    expect(kinds(at(1040 - allowedM + 1))).not.toContain('witness-weight drums.csv 13')
    expect(kinds(at(1040 - allowedM - 1))).toContain('witness-weight drums.csv 13')
    expect(kinds(at(1040 + allowedM + 1))).toContain('witness-weight drums.csv 13')
  })
})
