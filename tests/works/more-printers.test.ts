import { describe, expect, it } from 'vitest'
import { readWholeFolder } from '../../src/server/kept-more.ts'
import { loadWorks } from '../../src/server/load-works.ts'
import { MORE_PRINTER_FILES, parseMorePrinters } from '../../src/works/more-printers.ts'
import { DEMO } from '../support/demo.ts'

const content = await readWholeFolder(DEMO)
const { works } = loadWorks(content)
const FILE = MORE_PRINTER_FILES[0]
const HEADER = 'printer,line,on,address,resolution_dpi,media_mm'

function read(...rows: string[]) {
  return parseMorePrinters(
    new Map([[FILE, new TextEncoder().encode(`${[HEADER, ...rows].join('\n')}\n`)]]),
    works,
  )
}

describe('more/printers.csv', () => {
  it('is read from the demo, where nothing is switched on', () => {
    const result = parseMorePrinters(content.files, works)
    expect(result.ok && result.more.printers?.map((p) => [p.printer, p.line, p.on, p.address])).toEqual([
      ['LP-1', 'RW-1', false, { protocol: 'socket', host: '127.0.0.1', port: 9100 }],
      ['LP-2', 'RW-2', false, { protocol: 'ipp', host: '127.0.0.1', port: 631, path: '/ipp/print' }],
    ])
  })

  it('may name a bench', () => {
    expect(read('LP-3,B1,yes,ipp://labels.hall:8631/x,300,110x70')).toMatchObject({ ok: true })
  })

  it.each([
    ['an unknown place', 'LP-1,NO-SUCH,yes,socket://h:9100,203,100x60', 'line'],
    ['a socket without a port', 'LP-1,RW-1,yes,socket://h,203,100x60', 'address'],
    ['a socket with a path', 'LP-1,RW-1,yes,socket://h:9100/x,203,100x60', 'address'],
    ['another protocol', 'LP-1,RW-1,yes,https://h/x,203,100x60', 'address'],
    ['a port that is none', 'LP-1,RW-1,yes,socket://h:99999,203,100x60', 'address'],
    ['somebody in front of the host', 'LP-1,RW-1,yes,ipp://a@h/x,203,100x60', 'address'],
    ['a coarse printer', 'LP-1,RW-1,yes,socket://h:9100,100,100x60', 'resolution_dpi'],
    ['stock that is too small', 'LP-1,RW-1,yes,socket://h:9100,203,50x30', 'media_mm'],
    ['neither yes nor no', 'LP-1,RW-1,maybe,socket://h:9100,203,100x60', 'on'],
  ])('refuses %s', (_, row, column) => {
    const result = read(row)
    expect(!result.ok && result.problems.map((p) => p.column)).toContain(column)
  })

  it.each([
    [
      'a printer twice',
      'LP-1,RW-1,no,socket://h:1,203,100x60',
      'LP-1,RW-2,no,socket://h:1,203,100x60',
      'printer',
    ],
    ['a place twice', 'LP-1,RW-1,no,socket://h:1,203,100x60', 'LP-2,RW-1,no,socket://h:1,203,100x60', 'line'],
  ])('refuses %s', (_, one, two, column) => {
    const result = read(one, two)
    expect(!result.ok && result.problems.map((p) => p.column)).toContain(column)
  })
})
