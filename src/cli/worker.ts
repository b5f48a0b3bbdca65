import type { Command } from 'commander'
import { servePlanning } from '../server/planning-worker.ts'
import { EXIT } from './exit-codes.ts'
import { toldToEnd } from './told-to-end.ts'

/** `worker`: makes plans for the servers that share its PostgreSQL. */
export function addWorker(program: Command, exitCodes: string, done: (code: number) => void): void {
  program
    .command('worker')
    .description(
      'make plans for every server on the same PostgreSQL, named by DATABASE_URL, until it is ended',
    )
    .addHelpText('after', exitCodes)
    .action(async () => {
      const worker = await servePlanning()
      process.stdout.write('Waiting for plans to make.\nCtrl-C ends it.\n')
      await toldToEnd()
      await worker.close()
      done(EXIT.ok)
    })
}
