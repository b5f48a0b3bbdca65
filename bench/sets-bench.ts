import type { LeadTest } from '../src/lead/lead-test.ts'
import type { OpenLead } from '../src/lead/set-open-lead.ts'
import { leadSets } from '../src/lead/sets.ts'
import { loadWorks } from '../src/server/load-works.ts'
import { readWorksFolder } from '../src/server/read-works-folder.ts'
import { keepResult, markdownTable } from './measured.ts'

/** Two hundred tested leads of one lot in sets of four, proven best, with trims of twenty more that have an open end. */

const LEADS = 200
const OPEN = 20
const ROUNDS = 9

/** Numbers near nought as a bell, from a seed (xorshift32, twelve summed). */
function bellFrom(seed: number): () => number {
  let state = seed
  const next = () => {
    state ^= state << 13
    state ^= state >>> 17
    state ^= state << 5
    return (state >>> 0) / 4_294_967_296
  }
  return () => Array.from({ length: 12 }, next).reduce((sum, x) => sum + x, -6)
}

async function main(): Promise<void> {
  const { works } = loadWorks(await readWorksFolder('demo/kelderwick'))
  const like = works.leadTests[0]!
  const cable = works.cables.find((c) => c.cable === like.cable)!
  const bell = bellFrom(4_711)
  const tests = Array.from({ length: LEADS }, (_, i): LeadTest => {
    const delayPs = 12_104 + 20 * bell()
    const turns = (360 * like.fTestMhz * delayPs * 1e-6) % 360
    return { ...like, serial: `B-${i + 1}`, delayPs, phaseDeg: 360 - turns, ilDb: 1.27 + 0.02 * bell() }
  })
  const open = Array.from(
    { length: OPEN },
    (_, i): OpenLead => ({
      ...{ serial: `O-${i + 1}`, cable: like.cable, lot: like.lot, connA: like.connA, connB: like.connB },
      ...{ roundTripPs: 2 * (12_160 + 20 * bell()), tempC: 21 },
    }),
  )
  const rows = [
    { name: 'phase within 5° at 2400 MHz', window: 5, windowDb: null },
    { name: 'phase within 1° at 2400 MHz', window: 1, windowDb: null },
    { name: 'phase within 5° and loss within 0.05 dB', window: 5, windowDb: 0.05 },
    { name: 'phase within 3° and loss within 0.03 dB', window: 3, windowDb: 0.03 },
  ].map(({ name, window, windowDb }) => {
    const times: number[] = []
    let answer = ''
    for (let round = 0; round < ROUNDS; round++) {
      const started = performance.now()
      const { sets, provenMost, rescued } = leadSets({
        ...{ ...works, cable, tests, open, by: { unit: 'deg', fMhz: 2_400 }, window, windowDb },
        ...{ size: 4, firstPassRatio: 0.95 },
      })
      times.push(performance.now() - started)
      answer = `${sets.length} of at most ${provenMost}; ${rescued.length} trims`
    }
    const median = [...times].sort((a, b) => a - b)[Math.floor(ROUNDS / 2)]!
    return [name, answer, times[0]!.toFixed(0), median.toFixed(0)]
  })
  const header = ['sets of 4 out of 200 leads', 'found', 'first round, ms', 'median, ms']
  keepResult('sets.md', 'Phase and delay sets', markdownTable(header, rows))
}

await main()
