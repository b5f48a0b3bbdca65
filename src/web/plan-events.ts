import { useEffect, useRef, useState } from 'react'
import type { PlanProgress } from '../works/api.ts'
import { ask } from './api.ts'

const BETTER_EVERY_MS = 1000
const ASK_EVERY_MS = 2000

/**
 * Listens to how the planning gets on. `onBetter` is called when a better plan may be fetched, at most once a second
 * while it runs and once at the end; `onLost` when the line breaks, and again when it is back.
 */
export function usePlanEvents(onBetter: () => void, onLost: () => void): PlanProgress | null {
  const [progress, setProgress] = useState<PlanProgress | null>(null)
  const last = useRef<Heard>({ state: 'idle', figures: '', atMs: 0 })

  useEffect(() => {
    const hear = (next: PlanProgress) => {
      setProgress(next)
      if (isWorthAsking(last.current, next)) onBetter()
    }
    return listen(hear, onLost)
  }, [onBetter, onLost])

  return progress
}

interface Heard {
  state: PlanProgress['state']
  /** What the plan was that was last asked for. */
  figures: string
  atMs: number
}

/** Whether there is a plan to fetch that was not fetched yet; keeps the account of it. */
function isWorthAsking(heard: Heard, next: PlanProgress): boolean {
  const ended = next.state !== heard.state && (next.state === 'done' || next.state === 'failed')
  // a new run counts its time anew
  if (next.elapsedMs < heard.atMs) heard.atMs = -BETTER_EVERY_MS
  if (heard.state !== 'running' && next.state === 'running') heard.atMs = -BETTER_EVERY_MS
  heard.state = next.state
  const figures = `${next.planId} ${next.unservedEur} ${next.costEur}`
  const better =
    figures !== heard.figures && next.costEur !== null && next.elapsedMs - heard.atMs >= BETTER_EVERY_MS
  if (better) Object.assign(heard, { figures, atMs: next.elapsedMs })
  return ended || better
}

/** Keeps a line open; where the server has no room for one more window, asks now and then instead. */
function listen(hear: (progress: PlanProgress) => void, onLost: () => void): () => void {
  let events: EventSource | null = null
  let timer: ReturnType<typeof setTimeout> | undefined
  let broken = false
  const open = () => {
    events = new EventSource('/api/plan/events')
    events.onmessage = (event: MessageEvent<string>) => hear(JSON.parse(event.data))
    events.onerror = () => {
      if (!broken) onLost()
      broken = true
      if (events?.readyState === EventSource.CLOSED) timer = setTimeout(again, ASK_EVERY_MS)
    }
    events.onopen = () => {
      if (broken) onLost()
      broken = false
    }
  }
  const again = () => {
    ask<PlanProgress>('/api/plan/progress').then(hear, () => undefined)
    open()
  }
  open()
  return () => {
    clearTimeout(timer)
    events?.close()
  }
}
