import {
  createContext,
  type ReactNode,
  useCallback,
  useContext,
  useEffect,
  useMemo,
  useRef,
  useState,
} from 'react'
import type { PlanInput } from '../plan/plan-input.ts'
import { type UsableDrum, usableDrum } from '../strip/usable.ts'
import type { InputAnswer, PlanAnswer, PlanProgress, WorksSummary } from '../works/api.ts'
import { ask, postJson, Refused, ServerGone } from './api.ts'
import { usePlanEvents } from './plan-events.ts'
import { showBy } from './works-clock.ts'

/** What every place looks at: the works that is open, its plan, and whether the server is there. */
export interface WorksState {
  /** False until the first answer. */
  ready: boolean
  /** The server does not answer. */
  gone: boolean
  works: WorksSummary | null
  input: PlanInput | null
  usable: UsableDrum[]
  plan: PlanAnswer | null
  /** The works that the plan was made for: an earlier one where the plan is stale. */
  planned: { input: PlanInput; usable: UsableDrum[] } | null
  progress: PlanProgress | null
  /** What went wrong with the last press, to be shown where it was pressed. */
  planError: Refused | null
  /** Asks the server for everything anew. */
  refresh: () => Promise<void>
  startPlan: () => Promise<void>
  stopPlan: () => Promise<void>
}

const Context = createContext<WorksState | null>(null)

export function useWorks(): WorksState {
  const state = useContext(Context)
  if (!state) throw new Error('useWorks outside WorksProvider')
  return state
}

/** The answer, or null where the server says that there is none. */
async function askOrNone<T>(path: string, none: string): Promise<T | null> {
  try {
    return await ask<T>(path)
  } catch (error) {
    if (error instanceof Refused && error.answer.code === none) return null
    throw error
  }
}

function usableDrums(input: PlanInput): UsableDrum[] {
  return input.drums.map((drum) =>
    usableDrum(
      drum,
      input.marks.filter((m) => m.drum === drum.drum),
      input.faults.filter((f) => f.drum === drum.drum),
      input.site.cutRules,
    ),
  )
}

interface Loaded {
  works: WorksSummary | null
  answer: InputAnswer | null
  plan: PlanAnswer | null
  plannedFor: InputAnswer | null
}

const isSame = (a: InputAnswer, b: InputAnswer) => a.version === b.version && a.seq === b.seq

/** The works as it is now; the known one where nothing has changed, so that nothing is computed or asked for anew. */
async function inputNow(known: InputAnswer | null): Promise<InputAnswer> {
  const found = await ask<InputAnswer>('/api/input')
  return known && isSame(known, found) ? known : found
}

/** What a plan was made for never changes, so where it is known it is not asked for again. */
async function plannedInput(planId: number, known: Loaded | null, answer: InputAnswer): Promise<InputAnswer> {
  if (known?.plannedFor && known.plan?.planId === planId) return known.plannedFor
  const found = await ask<InputAnswer>(`/api/input?plan=${planId}`)
  return isSame(found, answer) ? answer : found
}

/** The inputs of now and of the plan, with what follows from them for each strip. */
function useInputs(loaded: Loaded | null) {
  const input = loaded?.answer?.input ?? null
  const usable = useMemo(() => (input ? usableDrums(input) : []), [input])
  const planInput = loaded?.plannedFor?.input ?? null
  const planned = useMemo(() => {
    if (!planInput) return null
    return { input: planInput, usable: planInput === input ? usable : usableDrums(planInput) }
  }, [planInput, input, usable])
  return { input, usable, planned }
}

export function WorksProvider({ children }: { children: ReactNode }) {
  const [loaded, setLoaded] = useState<Loaded | null>(null)
  const [gone, setGone] = useState(false)
  const [planError, setPlanError] = useState<Refused | null>(null)
  const latest = useRef<Loaded | null>(null)

  const guard = useCallback(async (work: () => Promise<void>) => {
    try {
      await work()
      setGone(false)
    } catch (error) {
      if (error instanceof ServerGone) setGone(true)
      else if (error instanceof Refused) setPlanError(error)
      else throw error
    }
  }, [])

  const refresh = useCallback(
    () =>
      guard(async () => {
        const works = await askOrNone<WorksSummary>('/api/works', 'no-works')
        const answer = works && (await inputNow(latest.current?.answer ?? null))
        const plan = works && (await askOrNone<PlanAnswer>('/api/plan', 'no-plan'))
        const plannedFor = plan && answer && (await plannedInput(plan.planId, latest.current, answer))
        if (works) showBy(works.todayDate)
        latest.current = { works, answer, plan, plannedFor }
        setLoaded(latest.current)
      }),
    [guard],
  )

  const heard = useCallback(() => void refresh(), [refresh])
  const progress = usePlanEvents(heard, heard)
  useEffect(() => {
    void refresh()
  }, [refresh])
  useEffect(() => {
    if (!gone) return
    const timer = setInterval(() => void refresh(), 3000)
    return () => clearInterval(timer)
  }, [gone, refresh])

  const startPlan = useCallback(() => {
    setPlanError(null)
    return guard(async () => void (await postJson('/api/plan', {})))
  }, [guard])
  const stopPlan = useCallback(() => guard(async () => void (await postJson('/api/plan/stop', {}))), [guard])

  const { input, usable, planned } = useInputs(loaded)
  const state = useMemo<WorksState>(
    () => ({
      ready: loaded !== null,
      gone,
      works: loaded?.works ?? null,
      input,
      usable,
      plan: loaded?.plan ?? null,
      planned,
      progress,
      planError,
      refresh,
      startPlan,
      stopPlan,
    }),
    [loaded, gone, input, usable, planned, progress, planError, refresh, startPlan, stopPlan],
  )
  return <Context.Provider value={state}>{children}</Context.Provider>
}
