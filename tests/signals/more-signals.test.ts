import { readFile } from 'node:fs/promises'
import { beforeAll, describe, expect, it, test } from 'vitest'
import type { Column } from '../../src/works/column.ts'
import { parseMoreSignals, SIGNAL_COLUMNS } from '../../src/works/more-signals.ts'
import type { Works } from '../../src/works/works.ts'
import { demoWorks } from '../plan-referee/works.ts'

let works: Works
beforeAll(async () => {
  works = await demoWorks()
})

const HEAD =
  'line,quantity,on,protocol,address,unit_id,table,register,type,word_order,topic,pointer,time_pointer,scale,poll_ms'
const MODBUS = 'RW-1,counter_m,yes,modbus-tcp,10.0.0.21:502,1,holding,100,u32,high_first,,,,0.001,100'
const MQTT = 'RW-2,counter_m,yes,mqtt,broker.hall:1883,,,,,,hall/rw2,/count_m,/t,1,200'

const parsed = (...rows: string[]) =>
  parseMoreSignals(
    new Map([['more/signals.csv', new TextEncoder().encode([HEAD, ...rows].join('\r\n'))]]),
    works,
  )

describe('more/signals.csv is refused by row and column', () => {
  it.each<[string, string[], string]>([
    ['a line that is not there', [MODBUS.replace('RW-1', 'RW-9')], '2 line'],
    ['a quantity that is none', [MODBUS.replace('counter_m', 'count')], '2 quantity'],
    ['a quantity twice', [MODBUS, MODBUS], '3 quantity'],
    ['no port', [MODBUS.replace(':502', '')], '2 address'],
    ['a port that is none', [MODBUS.replace(':502', ':70000')], '2 address'],
    ['an address with a path', [MODBUS.replace(':502', ':502/x')], '2 address'],
    ['a unit beyond 255', [MODBUS.replace(',1,holding', ',256,holding')], '2 unit_id'],
    ['no type', [MODBUS.replace('u32', '')], '2 type'],
    ['no word order of two words', [MODBUS.replace('high_first', '')], '2 word_order'],
    ['a value that does not fit', [MODBUS.replace(',100,u32', ',65535,u32')], '2 register'],
    ['a topic for Modbus', [MODBUS.replace('high_first,,', 'high_first,hall/x,')], '2 topic'],
    [
      'two paces of one device',
      [MODBUS, MODBUS.replace('counter_m', 'tension_n').replace(/100$/, '200')],
      '3 poll_ms',
    ],
    ['too fast', [MODBUS.replace(/100$/, '10')], '2 poll_ms'],
    ['a scale of nought', [MODBUS.replace('0.001', '0')], '2 scale'],
    ['no topic', [MQTT.replace('hall/rw2', '')], '2 topic'],
    ['a topic filter', [MQTT.replace('hall/rw2', 'hall/+')], '2 topic'],
    ['a pointer without a slash', [MQTT.replace('/count_m', 'count_m')], '2 pointer'],
    ['a pointer with a lone tilde', [MQTT.replace('/count_m', '/a~b')], '2 pointer'],
    ['a register for MQTT', [MQTT.replace('1883,,,,', '1883,,,5,')], '2 register'],
    ['a clock by MQTT', [MQTT.replace('counter_m', 'clock')], '2 quantity'],
  ])('%s', (_name, rows, place) => {
    const result = parsed(...rows)
    expect(result.ok ? [] : result.problems.map((p) => `${p.row} ${p.column}`)).toContain(place)
  })
})

it('says what is read and where', () => {
  const result = parsed(MODBUS, MQTT)
  expect(result).toMatchObject({
    ok: true,
    more: {
      signals: [
        {
          on: true,
          protocol: 'modbus-tcp',
          host: '10.0.0.21',
          port: 502,
          unitId: 1,
          register: 100,
          scale: 0.001,
        },
        {
          protocol: 'mqtt',
          host: 'broker.hall',
          port: 1883,
          topic: 'hall/rw2',
          pointer: '/count_m',
          timePointer: '/t',
        },
      ],
    },
  })
  expect(parseMoreSignals(new Map(), works)).toMatchObject({ ok: true, more: { signals: null } })
})

test('the demo reads nothing before a person switches it on', async () => {
  const bytes = await readFile('demo/kelderwick/more/signals.csv')
  const result = parseMoreSignals(new Map([['more/signals.csv', bytes]]), works)
  if (!result.ok) throw new Error(JSON.stringify(result.problems))
  expect(result.more.signals!.length).toBeGreaterThan(5)
  expect(result.more.signals!.filter((signal) => signal.on)).toEqual([])
})

test('docs/works-folder.md has the columns of this file', async () => {
  const doc = await readFile('docs/works-folder.md', 'utf8')
  const section = doc.split('\n## more/signals.csv\n')[1]?.split('\n## ')[0] ?? ''
  const documented = [...section.matchAll(/^\|(\w+)\|.+?\|(required|may be empty)\|/gm)].map(
    ([, name]) => name,
  )
  expect(documented).toEqual((Object.values(SIGNAL_COLUMNS) as Column<unknown>[]).map((c) => c.name))
})
