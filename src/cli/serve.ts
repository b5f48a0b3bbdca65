import { type ServeOptions, serve } from '../server/serve.ts'
import { EXIT } from './exit-codes.ts'

/** Serves until it is told to end; a plan that is being made is stopped and stored first. */
export async function serveScreens(options: ServeOptions): Promise<number> {
  const server = await serve(options)
  process.stdout.write(`Lastmetre is at ${server.url}\nCtrl-C ends it.\n`)
  await new Promise<void>((resolve) => {
    process.once('SIGINT', () => resolve())
    process.once('SIGTERM', () => resolve())
  })
  // npm passes Ctrl-C on to a process that the terminal has told already.
  process.on('SIGINT', () => undefined)
  process.on('SIGTERM', () => undefined)
  await server.close()
  return EXIT.ok
}
