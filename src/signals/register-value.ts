import { type ModbusSignal, registersOf } from '../works/more-signals.ts'

type Place = Pick<ModbusSignal, 'type' | 'wordOrder' | 'scale'>

/**
 * Value of a quantity in its unit from its registers, two bytes each with the high byte first (MODBUS Application
 * Protocol Specification V1.1b3, 4.2). The order of the registers of a longer value is the maker's choice. null: no number.
 */
export function valueOfRegisters(bytes: Uint8Array, { type, wordOrder, scale }: Place): number | null {
  const length = 2 * registersOf(type)
  if (bytes.length !== length) return null
  const view = new DataView(inHighFirstOrder(bytes, wordOrder).buffer)
  const raw = {
    u16: () => view.getUint16(0),
    i16: () => view.getInt16(0),
    u32: () => view.getUint32(0),
    i32: () => view.getInt32(0),
    f32: () => view.getFloat32(0),
    u64: () => Number(view.getBigUint64(0)),
  }[type]()
  const value = raw * scale
  return Number.isFinite(value) ? value : null
}

/** The registers that hold a value, for the simulator; what does not fit is held at the type's limit. */
export function registersOfValue(value: number, { type, wordOrder, scale }: Place): Uint8Array {
  const bytes = new Uint8Array(2 * registersOf(type))
  const view = new DataView(bytes.buffer)
  const whole = (least: number, most: number) => Math.min(most, Math.max(least, Math.round(value / scale)))
  if (type === 'u16') view.setUint16(0, whole(0, 65_535))
  else if (type === 'i16') view.setInt16(0, whole(-32_768, 32_767))
  else if (type === 'u32') view.setUint32(0, whole(0, 4_294_967_295))
  else if (type === 'i32') view.setInt32(0, whole(-2_147_483_648, 2_147_483_647))
  else if (type === 'f32') view.setFloat32(0, value / scale)
  else view.setBigUint64(0, BigInt(whole(0, Number.MAX_SAFE_INTEGER)))
  return inHighFirstOrder(bytes, wordOrder)
}

/** Turns the order of the registers round where the low one comes first; the same way there and back. */
function inHighFirstOrder(bytes: Uint8Array, order: ModbusSignal['wordOrder']): Uint8Array {
  if (order === 'high_first') return Uint8Array.from(bytes)
  const turned = new Uint8Array(bytes.length)
  for (let i = 0; i < bytes.length; i += 2) turned.set(bytes.subarray(i, i + 2), bytes.length - 2 - i)
  return turned
}
