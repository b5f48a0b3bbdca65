import type { LeadTest } from '../../src/lead/lead-test.ts'
import type { Works } from '../../src/works/works.ts'
import { type Random, seededRandom } from '../generate/random.ts'
import { generateWorks } from '../generate-works.ts'
import { twistHall } from './twist-hall.ts'
import { twistOrders } from './twist-orders.ts'
import { twistStock } from './twist-stock.ts'

/** Every third works is left as the generator made it: plausible, with a plan that serves all. */
const PLAIN_SHARE = 0.3

/** Samples of a line's run that are kept: they are read, but no plan looks at them. */
const RUN_SAMPLES = 10

/**
 * A random works, tiny to small: one to three cable types, one to ten order lines of each, every feature of the works folder. Most
 * are twisted towards the edge of what the contract allows, and now and then beyond it. The same in every run.
 */
export function fuzzWorks(seed: number): Works {
  const random = seededRandom(seed * 7_368_787 + 11)
  const types = random.pick([1, 1, 1, 2, 2, 3])
  const { works } = generateWorks({
    seed: random.whole(1, 1e9),
    folder: `fuzz-${seed}`,
    types,
    linesPerType: random.whole(2, random.pick([3, 6, 10])),
    metresPerLine: random.pick([150, 260, 400]),
    stockRatio: random.pick([1, 1.04, 1.3]),
    hopeless: random.chance(0.2) ? 1 : 0,
  })
  return sound(random.chance(PLAIN_SHARE) ? works : twisted(random, structuredClone(works)))
}

/** Records that a small or twisted works would lack, or that name what is no longer there: without them it would only be refused. */
function sound(works: Works): Works {
  works.lineRun.splice(RUN_SAMPLES)
  const line = works.site.lines[0]!.id
  const isLine = (id: string) => works.site.lines.some((l) => l.id === id)
  for (const check of works.counterChecks) if (!isLine(check.line)) check.line = line
  for (const sample of works.lineRun) if (!isLine(sample.line)) sample.line = line
  for (const person of works.benchHall.people)
    person.skills = person.skills.filter((s) => isLine(s) || !s.startsWith('WL-'))
  const { cable } = works.cables[0]!
  if (works.leadTests.length === 0) works.leadTests.push(leadTest(cable))
  return works
}

function leadTest(cable: string): LeadTest {
  return {
    serial: 'S00001',
    cable,
    lot: 'L1',
    connA: `N-${cable}`,
    connB: `N-${cable}`,
    lengthM: 1,
    fTestMhz: 2400,
    delayPs: 5000,
    phaseDeg: 0,
    ilDb: 0.3,
    rlMinDb: 28,
    continuity: 'pass',
    hipotKvDc: 1.5,
    leakUa: 0.5,
    tempC: 21,
  }
}

function twisted(random: Random, works: Works): Works {
  if (random.chance(0.7)) twistStock(random, works)
  if (random.chance(0.8)) twistOrders(random, works)
  if (random.chance(0.5)) twistHall(random, works)
  return works
}
