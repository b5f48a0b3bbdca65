import { groupBy } from '../quantity/group-by.ts'
import { isModbus, isMqtt, type SignalMapping } from '../works/more-signals.ts'
import { type BrokerAccess, plainAccess } from './broker-access.ts'
import { readModbus } from './modbus-reader.ts'
import { readMqtt } from './mqtt-reader.ts'
import type { SignalNews, SignalReader } from './signal-news.ts'

/**
 * Starts a reader for every device and broker of one line's signals that are switched on; each connects by itself. A broker
 * that is not among `brokers` is reached plainly.
 */
export function openReaders(
  signals: readonly SignalMapping[],
  tell: (news: SignalNews) => void,
  now: () => number,
  brokers: readonly BrokerAccess[] = [],
): SignalReader[] {
  const on = signals.filter((signal) => signal.on)
  const devices = groupBy(on.filter(isModbus), ({ host, port, unitId }) => `${host}:${port} ${unitId}`)
  const byBroker = groupBy(on.filter(isMqtt), ({ host, port }) => `${host}:${port}`)
  const accessOf = (address: string) =>
    brokers.find((broker) => broker.address === address) ?? plainAccess(address)
  return [
    ...[...devices.values()].map((of) => readModbus(of, tell, now)),
    ...[...byBroker].map(([address, of]) => readMqtt(of, accessOf(address), tell, now)),
  ]
}
