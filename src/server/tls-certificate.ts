import {
  createHash,
  createPrivateKey,
  createPublicKey,
  generateKeyPairSync,
  randomBytes,
  sign,
} from 'node:crypto'
import { isIP } from 'node:net'
import {
  addressBytes,
  bits,
  inPlace,
  integer,
  octets,
  oid,
  sequence,
  setOf,
  time,
  truth,
  utf8,
  within,
} from './tls-der.ts'

/** Certificates as RFC 5280 has them, with a key on P-256 and ECDSA over SHA-256 (RFC 5758, 3.2). */

const ECDSA_SHA256 = sequence(oid('1.2.840.10045.4.3.2'))
const COMMON_NAME = '2.5.4.3'
const SUBJECT_KEY = '2.5.29.14'
const KEY_USAGE = '2.5.29.15'
const ALTERNATIVE_NAMES = '2.5.29.17'
const BASIC_CONSTRAINTS = '2.5.29.19'
const NAME_CONSTRAINTS = '2.5.29.30'
const AUTHORITY_KEY = '2.5.29.35'
const EXTENDED_USAGE = '2.5.29.37'
const SERVER_AUTH = '1.3.6.1.5.5.7.3.1'
/** Serial numbers up to 20 bytes; 16 random ones do (RFC 5280, 4.1.2.2). */
const SERIAL_BYTES = 16
/** An uncompressed point on P-256 ends its public key: 04, x, y. */
const POINT_BYTES = 65
const DNS_NAME = 2
const IP_ADDRESS = 7

/** Private networks and loopback (RFC 1918, RFC 4193, RFC 1122): the authority's word holds for no other addresses. */
const OWN_NETWORKS: [address: string, mask: string][] = [
  ['10.0.0.0', '255.0.0.0'],
  ['172.16.0.0', '255.240.0.0'],
  ['192.168.0.0', '255.255.0.0'],
  ['169.254.0.0', '255.255.0.0'],
  ['127.0.0.0', '255.0.0.0'],
  ['fc00::', 'fe00::'],
  ['fe80::', 'ffc0::'],
  ['::1', 'ffff:ffff:ffff:ffff:ffff:ffff:ffff:ffff'],
]

/** Key and certificate as PEM, and the name in the certificate. */
export interface Issued {
  key: string
  certificate: string
  name: string
}

interface Validity {
  from: Date
  until: Date
}

/** An authority whose word holds only for these names (and names below them) and for addresses of a private network. */
export function issueAuthority(name: string, hostNames: readonly string[], validity: Validity): Issued {
  const key = newKey()
  const permitted = [
    ...hostNames.map((host) => sequence(inPlace(DNS_NAME, Buffer.from(host, 'ascii')))),
    ...OWN_NETWORKS.map(([address, mask]) =>
      sequence(inPlace(IP_ADDRESS, Buffer.concat([addressBytes(address), addressBytes(mask)]))),
    ),
  ]
  const extensions = [
    extension(BASIC_CONSTRAINTS, true, sequence(truth(), integer(Buffer.from([0])))),
    // keyCertSign (5) and cRLSign (6)
    extension(KEY_USAGE, true, bits(Buffer.from([0b0000_0110]), 1)),
    extension(SUBJECT_KEY, false, octets(keyId(key))),
    extension(NAME_CONSTRAINTS, true, sequence(within(0, ...permitted))),
  ]
  const signed = signedBy(key, { subject: name, issuer: name, validity, key, extensions })
  return { key, certificate: pem(signed), name }
}

/** A server's certificate for host names and addresses, given by the authority. */
export function issueServer(
  authority: { key: string; name: string },
  hosts: readonly string[],
  validity: Validity,
): Issued {
  const key = newKey()
  const names = hosts.map((host) =>
    isIP(host) ? inPlace(IP_ADDRESS, addressBytes(host)) : inPlace(DNS_NAME, Buffer.from(host, 'ascii')),
  )
  const name = hosts[0] ?? 'lastmetre'
  const extensions = [
    extension(BASIC_CONSTRAINTS, true, sequence()),
    // digitalSignature (0)
    extension(KEY_USAGE, true, bits(Buffer.from([0b1000_0000]), 7)),
    extension(EXTENDED_USAGE, false, sequence(oid(SERVER_AUTH))),
    extension(ALTERNATIVE_NAMES, false, sequence(...names)),
    extension(SUBJECT_KEY, false, octets(keyId(key))),
    extension(AUTHORITY_KEY, false, sequence(inPlace(0, keyId(authority.key)))),
  ]
  const parts = { subject: name, issuer: authority.name, validity, key, extensions }
  return { key, certificate: pem(signedBy(authority.key, parts)), name }
}

interface Parts {
  subject: string
  issuer: string
  validity: Validity
  /** Private key of the subject, PEM. */
  key: string
  extensions: Buffer[]
}

function signedBy(authorityKey: string, parts: Parts): Buffer {
  const version3 = within(0, integer(Buffer.from([2])))
  const serial = randomBytes(SERIAL_BYTES)
  // Never nought, never negative, always of one length.
  serial[0] = (serial[0]! & 0x3f) | 0x40
  const toBeSigned = sequence(
    version3,
    integer(serial),
    ECDSA_SHA256,
    distinguished(parts.issuer),
    sequence(time(parts.validity.from), time(parts.validity.until)),
    distinguished(parts.subject),
    publicKey(parts.key),
    within(3, sequence(...parts.extensions)),
  )
  const signature = sign('sha256', toBeSigned, createPrivateKey(authorityKey))
  return sequence(toBeSigned, ECDSA_SHA256, bits(signature))
}

function newKey(): string {
  const { privateKey } = generateKeyPairSync('ec', { namedCurve: 'P-256' })
  return privateKey.export({ type: 'pkcs8', format: 'pem' }).toString()
}

function publicKey(key: string): Buffer {
  return createPublicKey(key).export({ type: 'spki', format: 'der' })
}

/** RFC 5280, 4.2.1.2, method 1: SHA-1 of the public key's bits. A name for the key, no protection. */
function keyId(key: string): Buffer {
  return createHash('sha1').update(publicKey(key).subarray(-POINT_BYTES)).digest()
}

function distinguished(name: string): Buffer {
  return sequence(setOf(sequence(oid(COMMON_NAME), utf8(name))))
}

function extension(id: string, critical: boolean, value: Buffer): Buffer {
  return sequence(oid(id), ...(critical ? [truth()] : []), octets(value))
}

function pem(der: Buffer): string {
  const lines = der.toString('base64').match(/.{1,64}/g) ?? []
  return `-----BEGIN CERTIFICATE-----\n${lines.join('\n')}\n-----END CERTIFICATE-----\n`
}
