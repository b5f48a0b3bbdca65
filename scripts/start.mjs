import { build } from './build.mjs'
import { endWithNpm } from './lib/end-with-npm.mjs'
import { main } from './lib/run.mjs'
import { setup } from './setup.mjs'

/** `npm start [-- <works folder>]`: installs what is missing, builds, and serves the screens. */
await main(async () => {
  endWithNpm()
  await setup()
  await build()
  // npm runs a script in the project folder; a path is meant from where the user stands.
  if (process.env.npm_lifecycle_event === 'start' && process.env.INIT_CWD) process.chdir(process.env.INIT_CWD)
  process.argv.splice(2, 0, 'serve')
  await import('../dist/cli/main.js')
})
