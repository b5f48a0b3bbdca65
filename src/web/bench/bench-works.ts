import { useEffect, useState } from 'react'
import type { PlanInput } from '../../plan/plan-input.ts'
import type { BenchAnswer } from '../../works/api.ts'
import type { Works } from '../../works/works.ts'
import { ask } from '../api.ts'

/** The works as the bench computes with it: all but the records that no lead needs. */
export interface BenchWorks {
  works: Works
  answer: BenchAnswer
}

/** Asks for what /api/input leaves out, once for each state of the works. */
export function useBenchWorks(
  input: PlanInput,
  version: number,
): { bench: BenchWorks | null; error: Error | null } {
  const [bench, setBench] = useState<BenchWorks | null>(null)
  const [error, setError] = useState<Error | null>(null)
  useEffect(() => {
    let wanted = true
    ask<BenchAnswer>('/api/bench').then(
      (answer) => {
        if (!wanted || answer.version !== version) return
        const { attenuation, leadTests } = answer
        setError(null)
        setBench({ answer, works: { ...input, attenuation, leadTests, lineRun: [], monthLedger: [] } })
      },
      (failure: Error) => wanted && setError(failure),
    )
    return () => {
      wanted = false
    }
  }, [input, version])
  return { bench, error }
}
