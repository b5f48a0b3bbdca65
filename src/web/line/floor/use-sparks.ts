import { useState } from 'react'
import { postJson } from '../../api.ts'
import type { FloorState } from './floor-station.ts'
import type { Spark } from './spark-question.tsx'
import type { FloorDeeds } from './use-floor-deeds.ts'

export interface Sparks {
  /** Those that wait for an answer, oldest first. */
  sparks: Spark[]
  isFault: (spark: Spark) => void
  isNone: (spark: Spark) => void
}

/** Sparks that the tester reported: each is a fault or it is not, and a person says so. */
export function useSparks(state: FloorState, { record, tell }: FloorDeeds): Sparks {
  const [answered, setAnswered] = useState<ReadonlySet<string>>(new Set())
  const answer = (spark: Spark) => setAnswered((before) => new Set(before).add(spark.id))
  const { view, signals } = state

  async function isNone(spark: Spark): Promise<void> {
    try {
      await postJson(`/api/floor/sparks/${encodeURIComponent(spark.id)}/dismiss`, {})
      answer(spark)
    } catch {
      tell('The server does not answer: the question about this spark stays open.', true)
    }
  }

  /** The server finds by its place which spark was meant. */
  async function isFault(spark: Spark): Promise<void> {
    const drum = view?.mounted?.drum
    if (!drum) {
      tell('No drum is on the line.', true)
      return
    }
    const at = { fromUm: spark.fromUm, toUm: spark.fromUm, uncUm: spark.uncUm }
    const kept = await record(
      {
        ...{ kind: 'find-fault', drum, code: 'SPK', severity: 'cut_out', what: null },
        ...{ place: { by: 'counter', ...at }, line: view.line, signal: true, foundAt: view.line },
      },
      'fault: spark, from the tester',
    )
    if (kept) answer(spark)
  }

  return {
    sparks: (signals?.sparks ?? []).filter(({ id }) => !answered.has(id)),
    isFault: (spark) => void isFault(spark),
    isNone: (spark) => void isNone(spark),
  }
}
