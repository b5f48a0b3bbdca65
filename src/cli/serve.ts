import type { Command } from 'commander'
import { type ServeOptions, serve } from '../server/serve.ts'
import { TRUST_PORT } from '../server/tls-trust-page.ts'
import { EXIT } from './exit-codes.ts'
import { toldToEnd } from './told-to-end.ts'
import { port } from './typed.ts'

interface ServeWords {
  port?: number
  data?: string
  host?: string
  hostName?: string[]
  tls?: string
  plainHttp: boolean
  trustPage?: number | true
  planning: boolean
}

export function addServe(program: Command, exitCodes: string, done: (code: number) => void): void {
  program
    .command('serve')
    .description('serve the screens: on this machine, or in the hall’s network with --host')
    .argument('[folder]', 'works folder to open; without one the works of last time, or the demo')
    .option('--port <number>', 'port; where it is taken the next free one', port)
    .option('--data <dir>', 'folder of the database')
    .option(
      '--host <address>',
      'address to listen on, 0.0.0.0 for all; off this machine an owner’s account is needed',
    )
    .option('--host-name <name...>', 'names by which the server is called besides those of its certificate')
    .option('--tls <dir>', 'folder of certificates make')
    .option('--trust-page [port]', 'also a page on plain http that gives tablets the certificate', port)
    .option('--plain-http', 'off this machine without TLS: PINs can be read in the network', false)
    .option('--no-planning', 'with DATABASE_URL: leave the making of plans to lastmetre worker')
    .addHelpText('after', exitCodes)
    .action(async (folder: string | undefined, words: ServeWords) => {
      const { host = null, hostName = [], tls = null, plainHttp, trustPage } = words
      const trustPort = trustPage === true ? TRUST_PORT : (trustPage ?? null)
      done(
        await serveScreens({
          folder: folder ?? null,
          port: words.port ?? null,
          dataFolder: words.data ?? null,
          takesJobs: words.planning,
          off: { host, hostNames: hostName, plainHttp, tlsFolder: tls, trustPort },
        }),
      )
    })
}

/** Serves until it is told to end; a plan that is being made is stopped and stored first. */
async function serveScreens(options: ServeOptions): Promise<number> {
  const server = await serve(options)
  for (const warning of server.warnings) process.stderr.write(`${warning}\n`)
  process.stdout.write(`Lastmetre is at ${server.url}\n`)
  for (const address of server.elsewhere) process.stdout.write(`  for other machines: ${address}\n`)
  if (server.trustPage) process.stdout.write(`Tablets learn to trust it at ${server.trustPage}\n`)
  process.stdout.write('Ctrl-C ends it.\n')
  await toldToEnd()
  // npm passes Ctrl-C on to a process that the terminal has told already.
  process.on('SIGINT', () => undefined)
  process.on('SIGTERM', () => undefined)
  await server.close()
  return EXIT.ok
}
