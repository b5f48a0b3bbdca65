import { type LabelPrinter, labelPrinter } from './label-printer.ts'
import { test as base } from './lastmetre.ts'
import { RunningLine } from './running-line.ts'

/** The lines of one morning, all of one thin cable and short. */
const KEPT = ['7155', '7161', '7168']
const BULK =
  '7900,1,DE,D-11 Quellmarth Antennenbau,dealer,bulk,C028-50,4,25,m,0,1,,,yes,,,,none,yes,C-220,,,jacket,,,,,,,,2031-03-07,61.20,'

/** As RW-2 of the demo has them. */
const MQTT = [
  ['counter_m', 'drive,/count_m'],
  ['speed_m_min', 'drive,/v_m_min'],
  ['tension_n', 'drive,/tension_n'],
  ['spark_event', 'spark,/count'],
] as const

interface Shift {
  /** What the devices of the line speak. */
  protocol: 'modbus-tcp' | 'mqtt'
  /** The line RW-1 of the works; its devices answer. */
  line: RunningLine
  /** The label printer of RW-1. */
  printer: LabelPrinter
  /** A copy of the demo with few orders, its signals and its printer switched on. The one drum of the cable that it has is held. */
  shiftFolder: string
}

export const test = base.extend<Shift>({
  protocol: ['modbus-tcp', { option: true }],
  // biome-ignore lint/correctness/noEmptyPattern: the form that playwright asks for
  line: async ({}, use) => {
    const line = await RunningLine.open()
    await use(line)
    await line.close()
  },
  // biome-ignore lint/correctness/noEmptyPattern: the form that playwright asks for
  printer: async ({}, use) => {
    const printer = await labelPrinter()
    await use(printer)
    await printer.close()
  },
  shiftFolder: async ({ worksCopy: { folder, change }, protocol, line, printer }, use) => {
    change('orders.csv', (text) => {
      const [head, ...rows] = text.split('\n')
      const kept = rows.filter((row) => KEPT.includes(row.split(',')[0] ?? ''))
      return [head, ...kept, BULK, ''].join('\n')
    })
    change('drums.csv', (text) => text.replace('A03-6,free', 'A03-6,qc_hold'))
    change('more/signals.csv', (text) => {
      if (protocol === 'modbus-tcp')
        return text.replaceAll(
          /^(RW-1,\w+),no,modbus-tcp,[\d.:]+/gm,
          `$1,yes,modbus-tcp,127.0.0.1:${line.port}`,
        )
      const [head, ...rows] = text.split(/\r?\n/)
      const sent = MQTT.map(
        ([quantity, at]) =>
          `RW-1,${quantity},yes,mqtt,127.0.0.1:${line.brokerPort},,,,,,hall/rw1/${at},/t,1,100`,
      )
      return [head, ...sent, ...rows.filter((row) => !row.startsWith('RW-1,'))].join('\n')
    })
    change('more/printers.csv', (text) =>
      text.replace(/^LP-1,.*$/m, `LP-1,RW-1,yes,socket://127.0.0.1:${printer.port},203,100x60`),
    )
    await line.serve(folder, 'RW-1', 'D001')
    await use(folder)
  },
})
