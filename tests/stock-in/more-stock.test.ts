import { beforeAll, describe, expect, test } from 'vitest'
import { parseMoreStock } from '../../src/works/more-stock.ts'
import type { Works } from '../../src/works/works.ts'
import { demoWorks } from '../plan-referee/works.ts'

let works: Works
beforeAll(async () => {
  works = await demoWorks()
})

function problemsOf(file: string, text: string): string[] {
  const result = parseMoreStock(new Map([[file, new TextEncoder().encode(text)]]), works)
  return result.ok ? [] : result.problems.map((p) => `${p.row} ${p.column}`)
}

const TESTS = 'lot,cable,tested_date,quantity,f_mhz,value,instrument\n'
const PIECES = 'serial,cable,lot,putup,length,unit,measured_m,made_date,location\n'
const LEVELS = 'cable,putup,length,unit,least\n'

describe('more/ on stock is as strict as the sixteen', () => {
  test.each([
    ['more/lot_tests.csv', `${TESTS}L1,C081-50,2031-01-01,velocity,,0.85,\n`, []],
    ['more/lot_tests.csv', `${TESTS}L1,C081-50,2031-01-01,velocity,100,0.85,\n`, ['2 f_mhz']],
    ['more/lot_tests.csv', `${TESTS}L1,C081-50,2031-01-01,attenuation,,5,\n`, ['2 f_mhz']],
    ['more/lot_tests.csv', `${TESTS}L1,C081-50,2031-01-01,attenuation,7000,5,\n`, ['2 f_mhz']],
    ['more/lot_tests.csv', `${TESTS}L1,C999-50,2031-01-01,velocity,,0.85,\n`, ['2 cable']],
    [
      'more/lot_tests.csv',
      `${TESTS}L1,C081-50,2031-01-01,velocity,,0.85,\nL1,C059-50,2031-01-01,capacitance,,80,\n`,
      ['3 cable'],
    ],
    ['more/finished_pieces.csv', `${PIECES}S1,C081-50,L1,C-220,25,m,,2031-01-01,\n`, []],
    ['more/finished_pieces.csv', `${PIECES}D001,C081-50,L1,C-220,25,m,,2031-01-01,\n`, ['2 serial']],
    ['more/finished_pieces.csv', `${PIECES}S1,C081-50,L1,C-220,25,m,24.99,2031-01-01,\n`, ['2 measured_m']],
    ['more/finished_pieces.csv', `${PIECES}S1,C081-50,L1,C-220,25,m,,2032-01-01,\n`, ['2 made_date']],
    ['more/minimum_levels.csv', `${LEVELS}C081-50,C-220,25,m,4\n`, []],
    ['more/minimum_levels.csv', `${LEVELS}C081-50,C-220,25,m,4\nC081-50,C-220,25,m,5\n`, ['3 length']],
    ['more/minimum_levels.csv', `${LEVELS}C081-50,C-220,25,m,0\n`, ['2 least']],
    ['more/minimum_levels.csv', `${LEVELS}C081-50,C-220,400000,ft,1\n`, ['2 length']],
  ])('%s %#', (file, text, wrong) => {
    expect(problemsOf(file, text)).toEqual(wrong)
  })

  test('feet are exact and what is not there is not recorded', () => {
    const file = new TextEncoder().encode(`${LEVELS}C081-50,C-220,100,ft,4\n`)
    const result = parseMoreStock(new Map([['more/minimum_levels.csv', file]]), works)
    expect(result.ok && result.more.minimumLevels![0]!.lengthUm).toBe(30_480_000)
    expect(result.ok && result.more.lotTests).toBeNull()
  })
})
