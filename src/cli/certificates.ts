import type { Command } from 'commander'
import { makeHallCertificates } from '../server/hall-certificates.ts'
import { FIRST_PORT } from '../server/serve.ts'
import { TRUST_PORT } from '../server/tls-trust-page.ts'
import { EXIT } from './exit-codes.ts'
import { printable } from './print.ts'
import { port } from './typed.ts'

interface MakeOptions {
  name: string[]
  address: string[]
  out: string
  port: number
  trustPort: number
}

/** `certificates make`: TLS in a hall without internet. */
export function addCertificates(program: Command, exitCodes: string, done: (code: number) => void): void {
  program
    .command('certificates')
    .description('certificates for TLS in a hall without internet')
    .command('make')
    .description('make the hall’s own authority (once) and a server certificate of it (each time)')
    .option('--name <name...>', 'names of the server, like hall.local', [])
    .option('--address <address...>', 'addresses of the server, like 192.168.1.20', [])
    .requiredOption('--out <dir>', 'folder to write to; kept private, since it holds the keys')
    .option('--port <number>', 'port of the screens, for the sheet', port, FIRST_PORT)
    .option('--trust-port <number>', 'port of the page for tablets, for the sheet', port, TRUST_PORT)
    .addHelpText('after', exitCodes)
    .action(async (options: MakeOptions) => {
      done(await make(options))
    })
}

async function make({ name, address, out, ...ports }: MakeOptions): Promise<number> {
  const made = await makeHallCertificates(out, { names: name, addresses: address }, ports)
  const folder = printable(out)
  process.stdout.write(
    `${[
      made.newAuthority
        ? `A new authority, good until ${made.authorityUntil.slice(0, 10)}. Each tablet has to trust it once.`
        : `The authority is the one of before, good until ${made.authorityUntil.slice(0, 10)}: tablets need nothing.`,
      `Fingerprint (SHA-256): ${made.fingerprint}`,
      `Server certificate for ${made.hosts.join(', ')}, good until ${made.serverUntil.slice(0, 10)}.`,
      `Sheet to hang up: ${folder}/trust-sheet.pdf`,
      `Serve with: npx lastmetre serve --host 0.0.0.0 --tls ${folder} --trust-page`,
      'Keep the folder private: whoever has authority.key can pose as this server.',
    ].join('\n')}\n`,
  )
  return EXIT.ok
}
