import { runNode } from './run.mjs'

const DEPCRUISE = 'node_modules/dependency-cruiser/bin/dependency-cruise.mjs'

/** What is checked without running the product, by name. */
const STATIC_CHECKS = [
  ['types', ['node_modules/typescript/bin/tsc', '-p', 'tsconfig.json', '--noEmit']],
  ['format and lint', ['node_modules/@biomejs/biome/bin/biome', 'check', '--error-on-warnings', '.']],
  ['imports of the rooms', [DEPCRUISE, 'src', '--config', '.dependency-cruiser.cjs']],
  ['unused code', ['node_modules/knip/bin/knip.js', '--no-progress']],
]

/** Runs all of them, also after a failure; answers how many passed. */
export async function runStaticChecks() {
  const count = { passed: 0, failed: 0 }
  for (const [name, args] of STATIC_CHECKS) {
    const { code } = await runNode(args, { stdio: ['ignore', 'inherit', 'inherit'] })
    process.stdout.write(`${code === 0 ? 'passed' : 'FAILED'}: ${name}\n`)
    count[code === 0 ? 'passed' : 'failed'] += 1
  }
  return count
}

/** The last line of a test run, which a machine reads. */
export function closingLine({ passed, failed }) {
  return `${passed} passed, ${failed} failed\n`
}
