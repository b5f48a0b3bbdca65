import { readFileSync, statSync } from 'node:fs'
import type { BrokerAccess } from '../signals/broker-access.ts'
import type { BrokerEntry, MoreBrokers } from '../works/more-brokers.ts'

/**
 * A works folder may name secrets of this beginning only, so that one from elsewhere cannot have another secret of the machine
 * sent to a broker of its choice.
 */
const PREFIX = 'LASTMETRE_PASSWORD_'
/** MQTT 3.1.1, 3.1.3.5: a password has up to 65 535 bytes. */
const MAX_BYTES = 65_535

/** How each broker is to be reached, with its secret out of the environment or out of the file that it names. */
export function brokerAccess(
  { brokers, authorityPem }: MoreBrokers,
  environment: Readonly<Record<string, string | undefined>>,
): BrokerAccess[] {
  return brokers.map((broker) => {
    const { host, port } = broker.address
    const secret = secretOf(broker, environment)
    return {
      address: `${host}:${port}`,
      tls: broker.tls === 'no' ? null : { ca: broker.tls === 'hall' ? authorityPem : null },
      user: broker.user,
      password: 'value' in secret ? secret.value : null,
      barred: 'missing' in secret ? secret.missing : null,
    }
  })
}

function secretOf(
  { password }: BrokerEntry,
  environment: Readonly<Record<string, string | undefined>>,
): { value: string | null } | { missing: string } {
  if (password === null) return { value: null }
  const name = `${PREFIX}${password}`
  const file = environment[`${name}_FILE`]
  const value = environment[name] ?? (file ? read(file) : undefined)
  if (value === null) return { missing: `the file that ${name}_FILE names cannot be read` }
  if (!value) return { missing: `the server was started without ${name} or ${name}_FILE` }
  if (Buffer.byteLength(value) > MAX_BYTES) return { missing: `${name} is longer than a password may be` }
  return { value }
}

/** The first line; null where it cannot be read. */
function read(file: string): string | null {
  try {
    if (!statSync(file).isFile() || statSync(file).size > MAX_BYTES + 2) return null
    return readFileSync(file, 'utf8').split(/\r?\n/, 1)[0] ?? ''
  } catch {
    return null
  }
}
