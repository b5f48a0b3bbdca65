import { mkdtempSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { describe, expect, it, onTestFinished } from 'vitest'
import { brokerAccess } from '../../src/server/broker-secrets.ts'
import type { BrokerAccess } from '../../src/signals/broker-access.ts'
import { openReaders } from '../../src/signals/open-readers.ts'
import type { SignalNews } from '../../src/signals/signal-news.ts'
import { SimulatedBroker } from '../../src/signals/simulator/simulated-devices.ts'
import type { BrokerEntry } from '../../src/works/more-brokers.ts'
import type { MqttSignal } from '../../src/works/more-signals.ts'
import { untilFound } from '../support/until.ts'
import { PASSWORD, type SecuredBroker, securedBroker, USER } from './secured-broker.ts'

function signal(port: number): MqttSignal {
  return {
    ...{ line: 'RW-1', quantity: 'counter_m', on: true, protocol: 'mqtt', host: '127.0.0.1', port },
    ...{ topic: 'hall/drive', pointer: '/count_m', timePointer: null, scale: 1, pollMs: 50 },
  }
}

function listen(port: number, access: Partial<BrokerAccess> | null): SignalNews[] {
  const news: SignalNews[] = []
  const address = `127.0.0.1:${port}`
  const plain = { address, tls: null, user: null, password: null, barred: null }
  const brokers = access === null ? [] : [{ ...plain, ...access }]
  const readers = openReaders([signal(port)], (one) => news.push(one), Date.now, brokers)
  onTestFinished(async () => {
    for (const reader of readers) await reader.stop()
  })
  return news
}

const lost = (news: SignalNews[]) =>
  untilFound(() => news.find((one) => one.kind === 'disconnected') as { why: string } | undefined)

async function showing(broker: SecuredBroker): Promise<SecuredBroker> {
  await broker.send('hall/drive', '{"count_m":12.5}')
  return broker
}

describe('a broker over TLS that wants user and password', () => {
  it('is heard with both, vouched for by the authority of the hall', async () => {
    const broker = await showing(await securedBroker())
    const news = listen(broker.port, { tls: { ca: broker.authority }, user: USER, password: PASSWORD })
    const sample = await untilFound(() => news.find((one) => one.kind === 'sample'))
    expect(sample).toMatchObject({ sample: { value: 12.5 } })
    expect(broker.asked).toEqual([[USER, PASSWORD]])
  })

  it('that does not take the password is said in words, without it, and not asked again and again', async () => {
    const broker = await showing(await securedBroker())
    const news = listen(broker.port, { tls: { ca: broker.authority }, user: USER, password: 'guessed wrong' })
    expect((await lost(news)).why).toBe('the broker does not take this user with this password')
    expect(JSON.stringify(news)).not.toContain('guessed wrong')
    // four times as long as it would take to try again after a mere loss
    await new Promise((resolve) => setTimeout(resolve, 1_000))
    expect(broker.asked).toEqual([[USER, 'guessed wrong']])
    expect(news.map(({ kind }) => kind)).toEqual(['disconnected'])
  })

  it('is shown no password where another authority, or none, vouches for it, or it has another name', async () => {
    const broker = await showing(await securedBroker())
    const other = await securedBroker()
    const elsewhere = await showing(await securedBroker('127.0.0.9'))
    const secret = { user: USER, password: PASSWORD }
    const notTrusted = 'its certificate is of an authority that is not trusted'
    const news = listen(broker.port, { tls: { ca: other.authority }, ...secret })
    expect((await lost(news)).why).toBe(notTrusted)
    expect((await lost(listen(broker.port, { tls: { ca: null }, ...secret }))).why).toBe(notTrusted)
    const misnamed = listen(elsewhere.port, { tls: { ca: elsewhere.authority }, ...secret })
    expect((await lost(misnamed)).why).toBe('its certificate is of another name or address')
    expect([broker.asked, other.asked, elsewhere.asked]).toEqual([[], [], []])
  })

  it('and one that speaks no TLS, where TLS is asked for, is not shown one either', async () => {
    const plain = await SimulatedBroker.open(0)
    onTestFinished(() => plain.close())
    const news = listen(plain.port, { tls: { ca: null }, user: USER, password: PASSWORD })
    expect((await lost(news)).why).toMatch(/TLS|lost|closed|disconnected|hang up|connack/i)
    expect(news.some(({ kind }) => kind === 'connected')).toBe(false)
  })

  it('is not even tried where the secret is missing', async () => {
    const broker = await securedBroker()
    const news = listen(broker.port, { tls: { ca: broker.authority }, user: USER, barred: 'no secret' })
    expect((await lost(news)).why).toBe('no secret')
    expect(broker.asked).toEqual([])
  })
})

describe('the secret of a broker', () => {
  const entry: BrokerEntry = {
    ...{ address: { host: 'broker.hall', port: 8883 }, tls: 'hall', user: USER, password: 'HALL' },
  }
  const access = (environment: Record<string, string>, broker: Partial<BrokerEntry> = {}) =>
    brokerAccess({ brokers: [{ ...entry, ...broker }], authorityPem: 'PEM' }, environment)[0]!

  it('comes out of the environment, or out of the file that it names', () => {
    const file = join(mkdtempSync(join(tmpdir(), 'secret-')), 'hall')
    writeFileSync(file, `${PASSWORD}\n`)
    const told = { address: 'broker.hall:8883', tls: { ca: 'PEM' }, user: USER, password: PASSWORD }
    for (const environment of [
      { LASTMETRE_PASSWORD_HALL: PASSWORD },
      { LASTMETRE_PASSWORD_HALL_FILE: file },
    ] as Record<string, string>[])
      expect(access(environment)).toEqual({ ...told, barred: null })
    expect(access({}, { password: null, tls: 'machine' })).toMatchObject({
      ...{ tls: { ca: null }, password: null, barred: null },
    })
  })

  it('that is missing bars the broker, and says what is missing', () => {
    expect(access({}).barred).toContain('LASTMETRE_PASSWORD_HALL')
    expect(access({ LASTMETRE_PASSWORD_HALL_FILE: '/nowhere/at/all' }).barred).toContain('cannot be read')
    // a works folder cannot have another secret of the machine sent away
    expect(access({ DATABASE_URL: 'postgres://secret' }, { password: 'DATABASE_URL' })).toMatchObject({
      password: null,
    })
  })
})
