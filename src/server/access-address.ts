import { isIP } from 'node:net'

/** The eight groups of an IPv6 address; one that ends in an IPv4 address counts its last two groups from that. */
export function groupsOfV6(address: string): number[] {
  const plain = (address.split('%')[0] ?? '').replace(/(\d+)\.(\d+)\.(\d+)\.(\d+)$/, (...[, a, b, c, d]) =>
    [Number(a) * 256 + Number(b), Number(c) * 256 + Number(d)].map((group) => group.toString(16)).join(':'),
  )
  const [head = '', tail] = plain.split('::')
  const front = groups(head)
  const back = groups(tail ?? '')
  const gap = tail === undefined ? 0 : Math.max(0, 8 - front.length - back.length)
  return [...front, ...Array<number>(gap).fill(0), ...back]
}

function groups(text: string): number[] {
  return text
    .split(':')
    .filter(Boolean)
    .map((group) => Number.parseInt(group, 16))
}

/** An IPv4 address, or the half of an IPv6 address that names a network: the other half is the machine's to choose. */
export function networkOf(address: string): string {
  const v4 = address.replace(/^::ffff:(?=\d+\.)/i, '')
  if (!v4.includes(':')) return v4
  return groupsOfV6(v4)
    .slice(0, 4)
    .map((group) => group.toString(16))
    .join(':')
}

/** A name or address as it stands in an address line: IPv6 in brackets, without the zone of this machine. */
export function inAddressLine(name: string): string {
  return isIP(name) === 6 ? `[${name.split('%')[0]}]` : name
}
