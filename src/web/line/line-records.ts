import { useEffect, useState } from 'react'
import type { LineWorks } from '../../line/line-works.ts'
import type { PlanInput } from '../../plan/plan-input.ts'
import type { LineAnswer } from '../../works/api.ts'
import type { MoreRecords } from '../../works/more-records.ts'
import type { Works } from '../../works/works.ts'
import { ask } from '../api.ts'

/** A works with what is recorded of its lines. */
export interface RecordedLines {
  version: number
  works: Works & LineWorks
  records: MoreRecords
}

function recorded(input: PlanInput, answer: LineAnswer): RecordedLines {
  const { lineRun, monthLedger, records, version } = answer
  const { sparkTested, ...line } = answer.line
  const cutPieces =
    records.cuts?.map(({ id, line: at, cutAt }) => ({ serial: id, line: at, at: cutAt })) ?? []
  return {
    version,
    records,
    works: {
      ...input,
      ...line,
      ...(sparkTested ? { sparkTested: new Map(sparkTested) } : {}),
      ...{ lineRun, monthLedger, cutPieces },
      // no line is set by these
      ...{ attenuation: [], leadTests: [] },
    },
  }
}

/** Asks for what /api/input leaves out, once for each version of the works; `input` is the works of that version. Until it is answered the version before stays, so that nothing typed is lost. */
export function useRecordedLines(
  input: PlanInput | null,
  version: number | null,
): { lines: RecordedLines | null; error: Error | null } {
  const [lines, setLines] = useState<RecordedLines | null>(null)
  const [error, setError] = useState<Error | null>(null)
  useEffect(() => {
    if (!input || version === null) return
    let wanted = true
    ask<LineAnswer>(`/api/line?version=${version}`).then(
      (answer) => {
        if (!wanted) return
        setError(null)
        setLines(recorded(input, answer))
      },
      (failure: Error) => wanted && setError(failure),
    )
    return () => {
      wanted = false
    }
  }, [input, version])
  return { lines, error }
}
