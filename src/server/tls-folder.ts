import { randomBytes, X509Certificate } from 'node:crypto'
import { existsSync } from 'node:fs'
import { mkdir, readFile, rename, writeFile } from 'node:fs/promises'
import { isIP } from 'node:net'
import { join } from 'node:path'
import { LastmetreError } from '../quantity/errors.ts'
import { issueAuthority, issueServer } from './tls-certificate.ts'

const DAY_MS = 86_400_000
const AUTHORITY_DAYS = 3_652
/** Browsers refuse more than 398 days (CA/Browser Forum baseline requirements, 6.3.2). */
const SERVER_DAYS = 397
/** Clocks of tablets may be behind. */
const EARLIER_DAYS = 1
const WARN_DAYS = 30
const MAX_HOSTS = 40
const MAX_NAME = 63
const HOST_NAME = /^[a-z0-9]([a-z0-9-]*[a-z0-9])?(\.[a-z0-9]([a-z0-9-]*[a-z0-9])?)*$/
/** Loopback is in every certificate, so that the machine itself can use the same server. */
const ON_MACHINE = ['localhost', '127.0.0.1', '::1']

const AUTHORITY_CERTIFICATE = 'authority.crt'
const AUTHORITY_KEY = 'authority.key'
/** For which names the authority was made. */
const AUTHORITY_NAMES = 'authority.json'
const SERVER_CERTIFICATE = 'server.crt'
const SERVER_KEY = 'server.key'

export interface MadeCertificates {
  /** False: the authority was there and stays, so that no tablet has to trust anew. */
  newAuthority: boolean
  fingerprint: string
  hosts: string[]
  /** ISO 8601. */
  serverUntil: string
  authorityUntil: string
}

interface Authority {
  key: string
  certificate: string
  name: string
  names: string[]
}

/**
 * Makes an authority (once) and a server certificate of it (each time) in a folder. Throws 'figure-refused' where a name
 * is none, or where the authority of the folder was made for other names.
 */
export async function makeCertificates(
  folder: string,
  hosts: { names: readonly string[]; addresses: readonly string[] },
  now = new Date(),
): Promise<MadeCertificates> {
  const names = hosts.names.map((name) => name.toLowerCase())
  checkHosts(names, hosts.addresses)
  await mkdir(folder, { recursive: true, mode: 0o700 })
  const known = await readAuthority(folder)
  const authority = known ?? (await makeAuthority(folder, names, now))
  const foreign = names.filter(
    (name) => !authority.names.some((own) => name === own || name.endsWith(`.${own}`)),
  )
  if (foreign.length > 0) {
    const made = authority.names.join(', ')
    throw new LastmetreError(
      'figure-refused',
      `The authority in this folder vouches for ${made} only, not for ${foreign.join(', ')}. Name another folder to make a new one, which every tablet has to trust anew.`,
    )
  }
  const all = [...new Set([...names, ...hosts.addresses, ...ON_MACHINE])]
  const server = issueServer(authority, all, span(now, SERVER_DAYS))
  // The key first: a server that starts between the two says that they do not belong together.
  await put(join(folder, SERVER_KEY), server.key, 0o600)
  await put(join(folder, SERVER_CERTIFICATE), server.certificate + authority.certificate, 0o644)
  return {
    newAuthority: known === null,
    fingerprint: new X509Certificate(authority.certificate).fingerprint256,
    hosts: all,
    serverUntil: isoOf(server.certificate),
    authorityUntil: isoOf(authority.certificate),
  }
}

export interface ServedTls {
  key: string
  cert: string
  /** Certificate of the authority, for the page that gives it out. */
  authority: string
  fingerprint: string
  /** Names and addresses of the certificate. */
  hosts: string[]
  /** What to say at the start; null where nothing is the matter. */
  warning: string | null
}

/** Reads a folder of makeCertificates. Throws 'tls-missing' where it is none, or where its certificate has run out. */
export async function readTls(folder: string, now = new Date()): Promise<ServedTls> {
  const [key, cert, authority] = await Promise.all(
    [SERVER_KEY, SERVER_CERTIFICATE, AUTHORITY_CERTIFICATE].map((file) =>
      readFile(join(folder, file), 'utf8').catch((error: Error) => {
        throw new LastmetreError('tls-missing', `${join(folder, file)} cannot be read: ${error.message}.`)
      }),
    ),
  )
  const parsed = new X509Certificate(cert!)
  const until = new Date(parsed.validTo)
  const days = Math.floor((until.getTime() - now.getTime()) / DAY_MS)
  const day = until.toISOString().slice(0, 10)
  if (days < 0) throw new LastmetreError('tls-missing', `The certificate in ${folder} ran out on ${day}.`)
  return {
    key: key!,
    cert: cert!,
    authority: authority!,
    fingerprint: new X509Certificate(authority!).fingerprint256,
    hosts: hostsOf(parsed),
    warning:
      days > WARN_DAYS
        ? null
        : `The certificate runs out on ${day}: make it anew with lastmetre certificates make, into the same folder.`,
  }
}

function checkHosts(names: readonly string[], addresses: readonly string[]): void {
  const count = names.length + addresses.length
  if (count === 0 || count > MAX_HOSTS) {
    throw new LastmetreError('figure-refused', `Give 1 to ${MAX_HOSTS} names and addresses of the server.`)
  }
  for (const name of names)
    if (!HOST_NAME.test(name) || name.length > MAX_NAME || isIP(name))
      throw new LastmetreError('figure-refused', `“${name}” is no name of a machine, like hall.local.`)
  for (const address of addresses)
    if (!isIP(address))
      throw new LastmetreError('figure-refused', `“${address}” is no address, like 192.168.1.20.`)
}

async function readAuthority(folder: string): Promise<Authority | null> {
  const path = (file: string) => join(folder, file)
  if (!existsSync(path(AUTHORITY_KEY))) return null
  const [key, certificate, text] = await Promise.all(
    [AUTHORITY_KEY, AUTHORITY_CERTIFICATE, AUTHORITY_NAMES].map((file) => readFile(path(file), 'utf8')),
  )
  return { key: key!, certificate: certificate!, ...(JSON.parse(text!) as { name: string; names: string[] }) }
}

async function makeAuthority(folder: string, hostNames: string[], now: Date): Promise<Authority> {
  const names = [...new Set([...hostNames, 'localhost'])]
  // Two authorities of one name would be taken for one another.
  const name = `Lastmetre hall authority ${randomBytes(4).toString('hex')}`
  const { key, certificate } = issueAuthority(name, names, span(now, AUTHORITY_DAYS))
  await put(join(folder, AUTHORITY_CERTIFICATE), certificate, 0o644)
  await put(join(folder, AUTHORITY_NAMES), `${JSON.stringify({ name, names })}\n`, 0o644)
  // Last: it is what says that there is an authority.
  await put(join(folder, AUTHORITY_KEY), key, 0o600)
  return { key, certificate, name, names }
}

function span(now: Date, days: number): { from: Date; until: Date } {
  const fromMs = now.getTime() - EARLIER_DAYS * DAY_MS
  return { from: new Date(fromMs), until: new Date(fromMs + days * DAY_MS) }
}

/** Whole or not at all. */
async function put(path: string, text: string, mode: number): Promise<void> {
  const half = `${path}.new`
  await writeFile(half, text, { mode })
  await rename(half, path)
}

function isoOf(certificate: string): string {
  return new Date(new X509Certificate(certificate).validTo).toISOString()
}

function hostsOf(certificate: X509Certificate): string[] {
  const listed = (certificate.subjectAltName ?? '').split(', ')
  return listed.map((entry) => entry.replace(/^(DNS|IP Address):/, ''))
}
