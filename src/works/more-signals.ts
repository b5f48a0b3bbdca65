import { type Column, type Columns, choice, column, maybe, number, Refusal, ref, yesNo } from './column.ts'
import { idsOf, joined, uniqueRows } from './known-ids.ts'
import { type MoreResult, MoreTables, wholeRecords } from './more-tables.ts'
import { type ProblemList, shown } from './problem-list.ts'
import type { Table } from './read-table.ts'
import type { Works } from './works.ts'

/** Optional file of `more/`: what can be read from the devices of a line, and where it stands there. As strict as the sixteen. */
export const MORE_SIGNALS_FILES = ['more/signals.csv'] as const

/** What a line can say; the unit stands at the end. `clock` is the device's own time, s since 1970 UTC. */
export const SIGNAL_QUANTITIES = [
  'counter_m',
  'speed_m_min',
  'spark_event',
  'tension_n',
  'dancer_pct',
  'diameter_mm',
  'clock',
] as const

export type SignalQuantity = (typeof SIGNAL_QUANTITIES)[number]

export const REGISTER_TYPES = ['u16', 'i16', 'u32', 'i32', 'f32', 'u64'] as const

export type RegisterType = (typeof REGISTER_TYPES)[number]

interface SignalBase {
  line: string
  quantity: SignalQuantity
  /** Nothing is connected to before a person has switched the row on. */
  on: boolean
  host: string
  port: number
  /** What stands there times `scale` is the quantity in its unit. */
  scale: number
  /** Modbus TCP: how often it is read. MQTT: how often it is sent as a rule. */
  pollMs: number
}

export interface ModbusSignal extends SignalBase {
  protocol: 'modbus-tcp'
  unitId: number
  /** Function 3 reads holding, function 4 input registers. */
  table: 'holding' | 'input'
  /** As in the request: the first register is 0. */
  register: number
  type: RegisterType
  wordOrder: 'high_first' | 'low_first'
}

export interface MqttSignal extends SignalBase {
  protocol: 'mqtt'
  topic: string
  /** JSON pointer (RFC 6901) to the value; '' is the whole payload. */
  pointer: string
  /** To the time at which the device measured; null where it sends none. */
  timePointer: string | null
}

export type SignalMapping = ModbusSignal | MqttSignal

export function isModbus(signal: SignalMapping): signal is ModbusSignal {
  return signal.protocol === 'modbus-tcp'
}

export function isMqtt(signal: SignalMapping): signal is MqttSignal {
  return signal.protocol === 'mqtt'
}

/** A row of more/signals.csv. */
interface SignalRow {
  line: string
  quantity: SignalQuantity
  on: boolean
  protocol: SignalMapping['protocol']
  address: NetAddress
  unitId: number | null
  table: ModbusSignal['table'] | null
  register: number | null
  type: RegisterType | null
  wordOrder: ModbusSignal['wordOrder'] | null
  topic: string | null
  pointer: string | null
  timePointer: string | null
  scale: number
  pollMs: number
}

export const SIGNAL_COLUMNS: Columns<SignalRow> = {
  line: ref('line', 'lines.json'),
  quantity: choice('quantity', ...SIGNAL_QUANTITIES),
  on: yesNo('on'),
  protocol: choice('protocol', 'modbus-tcp', 'mqtt'),
  address: address('address'),
  unitId: maybe(number('unit_id', { from: 0, to: 255, whole: true })),
  table: maybe(choice('table', 'holding', 'input')),
  register: maybe(number('register', { from: 0, to: 65_535, whole: true })),
  type: maybe(choice('type', ...REGISTER_TYPES)),
  wordOrder: maybe(choice('word_order', 'high_first', 'low_first')),
  topic: maybe(topic('topic')),
  pointer: maybe(pointer('pointer')),
  timePointer: maybe(pointer('time_pointer')),
  scale: number('scale', { above: 0 }),
  pollMs: number('poll_ms', { from: 50, to: 60_000, whole: true }),
}

/** Registers of 16 bits that a value takes. */
export function registersOf(type: RegisterType): number {
  return { u16: 1, i16: 1, u32: 2, i32: 2, f32: 2, u64: 4 }[type]
}

/** What `more/` says of signals; null: not recorded. */
export interface MoreSignals {
  signals: SignalMapping[] | null
}

/** Reads the optional file against a checked works; a breach refuses it. */
export function parseMoreSignals(
  files: ReadonlyMap<string, Uint8Array>,
  works: Works,
): MoreResult<MoreSignals> {
  const known = idsOf(works, 'lines.json')
  const tables = new MoreTables(files, MORE_SIGNALS_FILES, known)
  const signals = tables.read('more/signals.csv', SIGNAL_COLUMNS)
  if (signals) checkSignals(signals, tables.problems)
  return tables.result(() => ({ signals: wholeRecords(signals)?.map(asMapping) ?? null }))
}

function checkSignals(table: Table<SignalRow>, problems: ProblemList): void {
  const key = ({ line, quantity }: Partial<SignalRow>) => joined(line, quantity)
  uniqueRows(table, 'quantity', 'quantity of a line', key, problems)
  for (const { row, record } of table.rows) {
    checkCells(record, (column, wrong, right) => problems.add(table.file, row, column, wrong, right))
  }
  checkPolls(table, problems)
}

/** One device is read at one pace: what is read together belongs together in time. */
function checkPolls(table: Table<SignalRow>, problems: ProblemList): void {
  const polls = new Map<string, number>()
  for (const { row, record } of table.rows) {
    const { line, protocol, address, unitId, pollMs } = record
    if (protocol !== 'modbus-tcp' || !address || pollMs === undefined) continue
    const device = `${line} ${address.host} ${address.port} ${unitId}`
    const first = polls.get(device)
    if (first === undefined) polls.set(device, pollMs)
    else if (first !== pollMs)
      problems.add(table.file, row, 'poll_ms', `is ${pollMs}, this device has ${first} already`, `${first}`)
  }
}

type Tell = (column: string, wrong: string, right: string) => void

const MODBUS_CELLS = [
  ['unitId', 'unit_id'],
  ['table', 'table'],
  ['register', 'register'],
  ['type', 'type'],
  ['wordOrder', 'word_order'],
] as const
const MQTT_CELLS = [
  ['topic', 'topic'],
  ['pointer', 'pointer'],
  ['timePointer', 'time_pointer'],
] as const

/** A row says all that its protocol needs and nothing of the other one. */
function checkCells(record: Partial<SignalRow>, tell: Tell): void {
  const { protocol, type, register, quantity } = record
  if (protocol === undefined) return
  const modbus = protocol === 'modbus-tcp'
  for (const [key, column] of modbus ? MQTT_CELLS : MODBUS_CELLS)
    if (record[key] !== undefined && record[key] !== null)
      tell(column, `is given for ${protocol}`, 'an empty cell')
  if (!modbus) {
    if (record.topic === null) tell('topic', 'is empty', 'the topic that the device publishes to')
    if (quantity === 'clock') tell('quantity', 'is clock for mqtt', 'time_pointer in the other rows instead')
    return
  }
  for (const [key, column] of MODBUS_CELLS) {
    const needed = key !== 'wordOrder' || (type != null && registersOf(type) > 1)
    if (needed && record[key] === null) tell(column, 'is empty', 'a value, for modbus-tcp')
  }
  if (type != null && register != null && register + registersOf(type) > 65_536)
    tell('register', `leaves no room for ${type}`, 'a register that holds the whole value')
}

function asMapping(row: SignalRow): SignalMapping {
  const { line, quantity, on, scale, pollMs } = row
  const base = { line, quantity, on, ...row.address, scale, pollMs }
  if (row.protocol === 'mqtt') {
    const { topic, pointer, timePointer } = row
    return { ...base, protocol: 'mqtt', topic: topic!, pointer: pointer ?? '', timePointer }
  }
  const { unitId, table, register, type, wordOrder } = row
  return {
    ...base,
    ...{ protocol: 'modbus-tcp', unitId: unitId!, table: table!, register: register!, type: type! },
    wordOrder: wordOrder ?? 'high_first',
  }
}

const ADDRESS = /^([A-Za-z0-9](?:[A-Za-z0-9.-]{0,251}[A-Za-z0-9])?|\[[0-9A-Fa-f:.]{2,45}\]):(\d{1,5})$/

export interface NetAddress {
  host: string
  port: number
}

/** host:port; an address of IPv6 stands in square brackets. */
export function address(name: string): Column<NetAddress> {
  const right = 'host:port, such as 10.0.0.21:502'
  return column(name, right, (cell) => {
    const [, host, port] = ADDRESS.exec(cell) ?? []
    if (host === undefined || Number(port) < 1 || Number(port) > 65_535)
      return new Refusal(`${shown(cell)} is no address`, right)
    return { host: host.replace(/^\[|\]$/g, ''), port: Number(port) }
  })
}

/** A topic name (MQTT 3.1.1, 4.7): not a filter, so that one row is one signal. */
function topic(name: string): Column<string> {
  const right = 'a topic without + and #, up to 200 characters'
  return column(name, right, (cell) =>
    cell.length <= 200 && !/[+#\0\s]/.test(cell) && !cell.startsWith('$')
      ? cell
      : new Refusal(`${shown(cell)} is no topic`, right),
  )
}

/** RFC 6901, 3: each part begins with a slash; a tilde only as ~0 or ~1. */
function pointer(name: string): Column<string> {
  const right = 'a JSON pointer, such as /counter/m'
  return column(name, right, (cell) =>
    /^(?:\/(?:[^/~]|~[01])*)+$/.test(cell) && cell.length <= 200
      ? cell
      : new Refusal(`${shown(cell)} is no JSON pointer`, right),
  )
}
