import type { LedgerEvent } from './event.ts'
import type { LedgerState } from './state.ts'
import type { MovementRow, StripRow } from './state-rows.ts'

export interface Moved extends Pick<MovementRow, 'what' | 'um' | 'uncUm' | 'cause'> {
  line?: string | null
}

/** Books metres that came, went or were found; none where it is nought, but for a count. */
export function move(state: LedgerState, event: LedgerEvent, strip: StripRow, moved: Moved): void {
  if (moved.um === 0 && moved.what !== 'counted') return
  const last = state.movements.at(-1)
  const { seq, at, actor } = event
  state.movements.push({
    seq,
    n: last?.seq === seq ? last.n + 1 : 0,
    at,
    cable: strip.cable,
    lot: strip.lot,
    strip: strip.strip,
    line: moved.line ?? null,
    actor,
    what: moved.what,
    um: moved.um,
    uncUm: Math.round(moved.uncUm),
    cause: moved.cause,
  })
}
