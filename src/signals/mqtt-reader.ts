import { randomUUID } from 'node:crypto'
import { type IClientOptions, type MqttClient, connect as mqttConnect } from 'mqtt'
import { groupBy } from '../quantity/group-by.ts'
import type { MqttSignal } from '../works/more-signals.ts'
import { backoffMs } from './backoff.ts'
import { type BrokerAccess, connectFailure } from './broker-access.ts'
import { valueOfMessage } from './message-value.ts'
import type { SignalNews, SignalReader } from './signal-news.ts'

const CONNECT_MS = 3_000
const KEEPALIVE_S = 10
/** A broker that refuses the user, or that is not the right one, is asked no more often: some lock out who tries too much. */
const REFUSED_WAIT_MS = 60_000

/**
 * Listens to the topics of one broker for one line, at quality of service 1 with what the broker has retained, and connects
 * again when it is lost. It subscribes and never publishes. All signals must name the same broker, that of `access`.
 */
export function readMqtt(
  signals: readonly MqttSignal[],
  access: BrokerAccess,
  tell: (news: SignalNews) => void,
  now: () => number,
): SignalReader {
  const { line, host, port } = signals[0]!
  const device = brokerOf(signals[0]!)
  const byTopic = groupBy(signals, ({ topic }) => topic)
  if (access.barred !== null) {
    tell({ kind: 'disconnected', line, device, atMs: now(), why: access.barred })
    return { stop: async () => undefined }
  }
  const client = subscriber({ host, port }, access)
  let timer: NodeJS.Timeout | undefined
  let tries = 0
  let failure = LOST
  client.on('connect', () => {
    tries = 0
    failure = LOST
    tell({ kind: 'connected', line, device, atMs: now() })
    client.subscribe([...byTopic.keys()], { qos: 1 }, (error, granted) => {
      const refused = error
        ? [...byTopic.keys()]
        : (granted ?? []).filter((g) => g.qos > 2).map((g) => g.topic)
      for (const topic of refused)
        for (const { quantity } of byTopic.get(topic) ?? [])
          tell({ kind: 'unreadable', line, device, quantity, atMs: now(), why: 'is refused by the broker' })
    })
  })
  client.on('message', (topic, payload, packet) => {
    for (const signal of byTopic.get(topic) ?? []) tell(newsOf(signal, payload, packet.retain, now()))
  })
  client.on('error', (error) => {
    failure = connectFailure(error)
  })
  client.on('close', () => {
    if (client.disconnecting) return
    tell({ kind: 'disconnected', line, device, atMs: now(), why: failure.why.slice(0, 120) })
    clearTimeout(timer)
    timer = setTimeout(() => client.reconnect(), failure.isFinal ? REFUSED_WAIT_MS : backoffMs(tries++))
  })
  return {
    async stop() {
      clearTimeout(timer)
      await client.endAsync(true)
    },
  }
}

const LOST: ReturnType<typeof connectFailure> = { why: 'the connection was lost', isFinal: false }

/** A client that cannot publish, whoever asks it to. Named without a trace of the machine. */
function subscriber(
  { host, port }: { host: string; port: number },
  { tls, user, password }: BrokerAccess,
): MqttClient {
  const options: IClientOptions = {
    ...(tls === null ? { protocol: 'mqtt' } : encrypted(tls)),
    ...(user === null ? {} : { username: user }),
    ...(password === null ? {} : { password }),
    host,
    port,
    clientId: `lastmetre-${randomUUID().slice(0, 12)}`,
    protocolVersion: 4,
    clean: true,
    // Connecting again is ours: the wait grows.
    reconnectPeriod: 0,
    connectTimeout: CONNECT_MS,
    keepalive: KEEPALIVE_S,
    resubscribe: false,
    queueQoSZero: false,
  }
  const client = mqttConnect(options)
  const never = () => {
    throw new Error('Nothing may be published to a device.')
  }
  client.publish = never as MqttClient['publish']
  client.publishAsync = never as MqttClient['publishAsync']
  return client
}

/** The broker must show a certificate of the name or address that it is called by; below TLS 1.2 Node speaks none. */
function encrypted({ ca }: NonNullable<BrokerAccess['tls']>): IClientOptions {
  const trusted = ca === null ? {} : { ca }
  return { protocol: 'mqtts', rejectUnauthorized: true, ...trusted }
}

function newsOf(signal: MqttSignal, payload: Uint8Array, retained: boolean, arrivalMs: number): SignalNews {
  const { line, quantity } = signal
  const device = `${brokerOf(signal)} ${signal.topic}`
  const read = valueOfMessage(payload, signal)
  if ('wrong' in read) return { kind: 'unreadable', line, device, quantity, atMs: arrivalMs, why: read.wrong }
  return { kind: 'sample', sample: { line, device, quantity, ...read, arrivalMs, retained } }
}

/** One connection. A broker carries many devices, each with a clock of its own: a device is the broker and a topic. */
function brokerOf({ host, port }: Pick<MqttSignal, 'host' | 'port'>): string {
  return `${host}:${port}`
}
