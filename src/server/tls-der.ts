import { isIPv4 } from 'node:net'
import { groupsOfV6 } from './access-address.ts'

/** The few forms of DER (ITU-T X.690) that a certificate of RFC 5280 is made of. */

const LONG_LENGTH = 0x80

function tlv(tag: number, ...parts: Buffer[]): Buffer {
  const content = Buffer.concat(parts)
  if (content.length < LONG_LENGTH) return Buffer.concat([Buffer.from([tag, content.length]), content])
  const hex = content.length.toString(16)
  const size = Buffer.from(hex.length % 2 ? `0${hex}` : hex, 'hex')
  return Buffer.concat([Buffer.from([tag, LONG_LENGTH | size.length]), size, content])
}

export const sequence = (...parts: Buffer[]) => tlv(0x30, ...parts)
export const setOf = (...parts: Buffer[]) => tlv(0x31, ...parts)
export const octets = (bytes: Buffer) => tlv(0x04, bytes)
export const truth = () => tlv(0x01, Buffer.from([0xff]))
export const utf8 = (text: string) => tlv(0x0c, Buffer.from(text, 'utf8'))
/** Within [n], constructed. */
export const within = (n: number, ...parts: Buffer[]) => tlv(0xa0 | n, ...parts)
/** [n] in place of the tag, primitive. */
export const inPlace = (n: number, bytes: Buffer) => tlv(0x80 | n, bytes)

/** A positive number from its bytes, the highest first. */
export function integer(bytes: Buffer): Buffer {
  let from = 0
  while (from < bytes.length - 1 && bytes[from] === 0) from++
  const least = bytes.subarray(from)
  return tlv(0x02, ...((least[0] ?? 0) >= 0x80 ? [Buffer.from([0]), least] : [least]))
}

/** Whole bytes, or all but the last `unused` bits of them. */
export const bits = (bytes: Buffer, unused = 0) => tlv(0x03, Buffer.from([unused]), bytes)

export function oid(dotted: string): Buffer {
  const [first = 0, second = 0, ...rest] = dotted.split('.').map(Number)
  const bytes = [40 * first + second, ...rest.flatMap(base128)]
  return tlv(0x06, Buffer.from(bytes))
}

function base128(value: number): number[] {
  const digits = [value % 128]
  for (let rest = Math.floor(value / 128); rest > 0; rest = Math.floor(rest / 128))
    digits.unshift((rest % 128) | 0x80)
  return digits
}

/** RFC 5280, 4.1.2.5: UTCTime through 2049, GeneralizedTime from 2050. */
export function time(at: Date): Buffer {
  const digits = `${at.toISOString().replace(/\D/g, '').slice(0, 14)}Z`
  return at.getUTCFullYear() < 2050 ? tlv(0x17, Buffer.from(digits.slice(2))) : tlv(0x18, Buffer.from(digits))
}

/** The bytes of an IPv4 or IPv6 address. */
export function addressBytes(address: string): Buffer {
  if (isIPv4(address)) return Buffer.from(address.split('.').map(Number))
  return Buffer.from(groupsOfV6(address).flatMap((group) => [group >> 8, group & 0xff]))
}
