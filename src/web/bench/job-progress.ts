/** How far a job has come: its steps are started and finished one after the other. */
export interface JobProgress {
  /** Steps that are finished, with the minutes they took. */
  minutes: number[]
  /** When the step of now was started, ms; null where it waits. */
  startedMs: number | null
}

export const NOT_BEGUN: JobProgress = { minutes: [], startedMs: null }

/** What Enter or a scan does: starts the step that waits, finishes the one that runs. */
export function nextProgress(progress: JobProgress, steps: number, nowMs: number): JobProgress {
  const { minutes, startedMs } = progress
  if (minutes.length >= steps) return progress
  if (startedMs === null) return { minutes, startedMs: nowMs }
  return { minutes: [...minutes, Math.max(0, nowMs - startedMs) / 60_000], startedMs: null }
}

/** One press back: a step that runs waits again, a finished one is taken up again. */
export function takenBack({ minutes, startedMs }: JobProgress): JobProgress {
  return startedMs === null
    ? { minutes: minutes.slice(0, -1), startedMs: null }
    : { minutes, startedMs: null }
}

/** Why a scan is not for this job; null where it is. An empty one is the Enter key. */
export function wrongScan(scanned: string, job: string): string | null {
  const text = scanned.trim()
  if (text === '' || text === job || text.endsWith(`/${job}`)) return null
  return `That was ${text.slice(0, 60)}; this job is ${job}. Nothing was started or finished.`
}
