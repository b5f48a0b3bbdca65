#!/usr/bin/env node
import { build } from './build.mjs'
import { main } from './lib/run.mjs'
import { setup } from './setup.mjs'

/** The command line: installs and builds first where that is still to do, and says so on standard error only. */
await main(async () => {
  await setup()
  await build()
  await import('../dist/cli/main.js')
})
