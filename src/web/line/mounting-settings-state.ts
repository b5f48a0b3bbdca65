import { useMemo, useRef, useState } from 'react'
import { type PreparedMounting, prepareMountings } from '../../line/line-settings.ts'
import type { LineWorks } from '../../line/line-works.ts'
import type { MountingSettings } from '../../line/mounting-settings.ts'
import type { LineOverrides, RunInput } from '../../line/run-inputs.ts'
import { LastmetreError } from '../../quantity/errors.ts'
import type { Mounting } from '../../strip/cut-plan.ts'

/** What is typed into the inputs, as it is typed. */
export type Typed = Partial<Record<RunInput, string>>

export interface TriedSettings {
  prepared: PreparedMounting
  typed: Typed
  /** As the works has it, and with what was changed; the last that made sense where it makes none now. */
  asSet: MountingSettings | null
  settings: MountingSettings | null
  refused: string | null
  changed: boolean
  type: (input: RunInput, text: string) => void
  reset: () => void
}

/** An empty field takes a figure away; a comma is a decimal mark where someone writes one. */
function overridesOf(typed: Typed): LineOverrides {
  const entries = Object.entries(typed).map(([name, text]) => {
    const bare = text.trim()
    if (name === 'payoffDriven') return [name, bare === 'yes']
    return [name, bare === '' ? null : Number(bare.replace(',', '.'))]
  })
  return Object.fromEntries(entries)
}

function tried(prepared: PreparedMounting, overrides: LineOverrides) {
  try {
    return { settings: prepared.settings(overrides), refused: null }
  } catch (error) {
    if (error instanceof LastmetreError) return { settings: null, refused: `${error.message} ${error.todo}` }
    throw error
  }
}

/** null at a bench: there is nothing to set. `line` is another line than the planned one, to see what it would do. */
export function useTriedSettings(
  works: LineWorks,
  mountings: Mounting[],
  number: number,
  line: string,
): TriedSettings | null {
  const [typed, setTyped] = useState<Typed>({})
  const lastGood = useRef<MountingSettings | null>(null)
  const all = useMemo(
    () =>
      prepareMountings(
        works,
        mountings.map((m, i) => (i === number - 1 ? { ...m, line } : m)),
      ),
    [works, mountings, number, line],
  )
  const prepared = all.find((p) => p.number === number) ?? null
  const asSet = useMemo(() => {
    const planned = prepareMountings(works, mountings).find((p) => p.number === number)
    return planned ? tried(planned, {}).settings : null
  }, [works, mountings, number])
  const now = useMemo(() => prepared && tried(prepared, overridesOf(typed)), [prepared, typed])
  if (!prepared || !now) return null
  if (now.settings) lastGood.current = now.settings
  return {
    ...{ prepared, typed, asSet, refused: now.refused },
    settings: now.settings ?? lastGood.current,
    changed: Object.keys(typed).length > 0,
    type: (input, text) =>
      setTyped((before) => {
        const { [input]: _was, ...others } = before
        return text === inputText(prepared.inputs[input]) ? others : { ...before, [input]: text }
      }),
    reset: () => setTyped({}),
  }
}

/** A figure as it stands in its field: to six figures, unknown as empty. */
export function inputText(value: number | boolean | null): string {
  if (typeof value === 'boolean') return value ? 'yes' : 'no'
  return value === null ? '' : String(Number(value.toPrecision(6)))
}
