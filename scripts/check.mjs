import { closingLine, runStaticChecks } from './lib/checks.mjs'
import { main } from './lib/run.mjs'
import { setup } from './setup.mjs'

/** Types, format, lint, imports and unused code; runs nothing of the product. */
await main(async () => {
  await setup()
  const count = await runStaticChecks()
  process.stdout.write(closingLine(count))
  if (count.failed > 0) process.exitCode = 1
})
