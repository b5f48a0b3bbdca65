import type { ModbusSignal, MqttSignal, SignalMapping } from '../works/more-signals.ts'
import { readModbus } from './modbus-reader.ts'
import { readMqtt } from './mqtt-reader.ts'
import type { SignalNews, SignalReader } from './signal-news.ts'

/** Starts a reader for every device and broker of one line's signals that are switched on; each connects by itself. */
export function openReaders(
  signals: readonly SignalMapping[],
  tell: (news: SignalNews) => void,
  now: () => number,
): SignalReader[] {
  const devices = new Map<string, ModbusSignal[]>()
  const brokers = new Map<string, MqttSignal[]>()
  for (const signal of signals) {
    if (!signal.on) continue
    const at = `${signal.host}:${signal.port}`
    if (signal.protocol === 'mqtt') brokers.set(at, [...(brokers.get(at) ?? []), signal])
    else {
      const device = `${at} ${signal.unitId}`
      devices.set(device, [...(devices.get(device) ?? []), signal])
    }
  }
  return [
    ...[...devices.values()].map((of) => readModbus(of, tell, now)),
    ...[...brokers.values()].map((of) => readMqtt(of, tell, now)),
  ]
}
