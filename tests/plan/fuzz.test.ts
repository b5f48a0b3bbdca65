import { describe, expect, it } from 'vitest'
import { fuzzOne } from '../../bench/fuzz/fuzz-one.ts'
import { refereeInProcess } from '../../bench/fuzz/referee.ts'
import { highsEngine } from '../../src/solver/highs-engine.ts'

const PER_TEST = 15
/** A folder takes a second at most, several on a busy machine. */
const MOST_MS = 180_000

const engine = await highsEngine()
const referee = refereeInProcess()

if (referee === null) process.stderr.write('SKIPPED: the independent referee is not beside this project\n')

describe('random works folders, valid and at the edge: refused with reasons, or planned without a broken rule', () => {
  it.each([1, 16, 31, 46, 61, 76, 91, 106, 121, 136])(
    'fifteen from seed %i',
    async (first) => {
      const states: string[] = []
      for (let seed = first; seed < first + PER_TEST; seed++) {
        const { fault, state } = await fuzzOne(seed, engine, referee)
        expect(fault, `seed ${seed}`).toBeNull()
        states.push(state)
      }
      // a works that is only ever refused tries nothing
      expect(states.filter((s) => s === 'planned').length).toBeGreaterThan(PER_TEST / 2)
    },
    MOST_MS,
  )
})
