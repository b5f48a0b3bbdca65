import { type ModbusSignal, registersOf } from '../works/more-signals.ts'

/** Registers side by side that one request reads. */
export interface RegisterBlock {
  table: ModbusSignal['table']
  start: number
  count: number
  signals: ModbusSignal[]
}

/** The most registers that one request may ask for (MODBUS Application Protocol Specification V1.1b3, 6.3). */
const MAX_REGISTERS = 125

/** Joins what touches: a device may refuse registers that no row names, so that none of these is asked for. */
export function registerBlocks(signals: readonly ModbusSignal[]): RegisterBlock[] {
  const sorted = [...signals].sort((a, b) => a.table.localeCompare(b.table) || a.register - b.register)
  const blocks: RegisterBlock[] = []
  for (const signal of sorted) {
    const { table, register } = signal
    const end = register + registersOf(signal.type)
    const last = blocks.at(-1)
    const joins = last?.table === table && register <= last.start + last.count
    if (last && joins && end - last.start <= MAX_REGISTERS) {
      last.count = Math.max(last.count, end - last.start)
      last.signals.push(signal)
    } else blocks.push({ table, start: register, count: end - register, signals: [signal] })
  }
  return blocks
}
