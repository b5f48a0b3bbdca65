import { groupBy } from '../quantity/group-by.ts'
import { isModbus, isMqtt, type SignalMapping } from '../works/more-signals.ts'
import { readModbus } from './modbus-reader.ts'
import { readMqtt } from './mqtt-reader.ts'
import type { SignalNews, SignalReader } from './signal-news.ts'

/** Starts a reader for every device and broker of one line's signals that are switched on; each connects by itself. */
export function openReaders(
  signals: readonly SignalMapping[],
  tell: (news: SignalNews) => void,
  now: () => number,
): SignalReader[] {
  const on = signals.filter((signal) => signal.on)
  const devices = groupBy(on.filter(isModbus), ({ host, port, unitId }) => `${host}:${port} ${unitId}`)
  const brokers = groupBy(on.filter(isMqtt), ({ host, port }) => `${host}:${port}`)
  return [
    ...[...devices.values()].map((of) => readModbus(of, tell, now)),
    ...[...brokers.values()].map((of) => readMqtt(of, tell, now)),
  ]
}
