import { chainLine, chainOf } from '../src/lead/chain.ts'
import { INSTRUMENT } from '../src/lead/guard.ts'
import { judgeLead } from '../src/lead/judge.ts'
import { specOfTest } from '../src/lead/lead-spec.ts'
import { readMeasurement } from '../src/lead/measurement.ts'
import { rollersOf } from '../src/lead/rollers.ts'
import { lineSweep } from '../src/lead/sweep-algebra.ts'
import { touchstoneText } from '../src/lead/touchstone-write.ts'
import { loadWorks } from '../src/server/load-works.ts'
import { readWorksFolder } from '../src/server/read-works-folder.ts'
import { keepResult, markdownTable } from './measured.ts'

/** A two-port of 20 001 frequencies, judged against the limits of a lead of the demo, with the data of its plots. */

const POINTS = 20_001
const ROUNDS = 9

async function main(): Promise<void> {
  const { works } = loadWorks(await readWorksFolder('demo/kelderwick'))
  const spec = specOfTest(works, works.leadTests[0]!)
  const { cable, a, b } = spec
  const chain = chainOf({ cable, attenuation: works.attenuation, lengthM: spec.cutM, tempC: 21, a, b })
  const fHz = Float64Array.from({ length: POINTS }, (_, i) => 300_000 * (i + 1))
  const line = lineSweep(fHz, spec.lengthM, 50, (f) => chainLine(chain, f))
  const form = { version: '1', unit: 'MHz', format: 'DB', comments: [] } as const
  const bytes = new TextEncoder().encode(touchstoneText(line, { ...form, comments: [] }))
  const rollers = rollersOf(works.site.rollerCircumferencesM, works.putups, cable)
  const readMs: number[] = []
  const judgeMs: number[] = []
  for (let round = 0; round < ROUNDS; round++) {
    const started = performance.now()
    const { sweep, hasPhase } = readMeasurement('lead.s2p', bytes, cable.z0NominalOhm)
    const read = performance.now()
    const judgement = judgeLead({
      ...{ chain, lengthM: spec.lengthM, lengthMinusM: 0, lengthPlusM: 0, toMhz: null },
      ...{ sweep, hasPhase, instrument: INSTRUMENT, overdue: null, rollers },
    })
    if (judgement.plot.loss.length === 0) throw new Error('no plot')
    readMs.push(read - started)
    judgeMs.push(performance.now() - read)
  }
  const median = (values: number[]) => [...values].sort((x, y) => x - y)[Math.floor(ROUNDS / 2)]!
  const rows = [
    ['first', readMs[0]!, judgeMs[0]!],
    ['median', median(readMs), median(judgeMs)],
  ].map(([name, read, judge]) => [String(name), ...[read, judge].map((ms) => Number(ms).toFixed(0))])
  const header = ['round', 'read file, ms', 'judge with plot data, ms']
  keepResult('judge.md', `Judging a two-port of ${POINTS} frequencies`, markdownTable(header, rows))
}

await main()
