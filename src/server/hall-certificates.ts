import { writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { trustSheetPdf } from '../documents/trust-sheet.ts'
import { inAddressLine } from './access-address.ts'
import { type MadeCertificates, makeCertificates } from './tls-folder.ts'

/** Makes or renews the certificates of a folder, and the sheet with which tablets learn to trust them. */
export async function makeHallCertificates(
  folder: string,
  hosts: { names: readonly string[]; addresses: readonly string[] },
  ports: { port: number; trustPort: number },
): Promise<MadeCertificates> {
  const made = await makeCertificates(folder, hosts)
  // An address rather than a name: a tablet may not know names of the hall.
  const reached = inAddressLine(hosts.addresses[0] ?? hosts.names[0] ?? 'localhost')
  const called = inAddressLine(hosts.names[0] ?? hosts.addresses[0] ?? 'localhost')
  const sheet = await trustSheetPdf({
    trustPage: `http://${reached}:${ports.trustPort}/`,
    screens: `https://${called}:${ports.port}/`,
    fingerprint: made.fingerprint,
    until: made.authorityUntil.slice(0, 10),
  })
  await writeFile(join(folder, 'trust-sheet.pdf'), sheet)
  return made
}
