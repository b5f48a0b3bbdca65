import { build } from './build.mjs'
import { main } from './lib/run.mjs'
import { setup } from './setup.mjs'

/** `npm start [-- <works folder>]`: installs what is missing, builds, and serves the screens. */
await main(async () => {
  await setup()
  await build()
  process.argv.splice(2, 0, 'serve')
  await import('../dist/cli/main.js')
})
