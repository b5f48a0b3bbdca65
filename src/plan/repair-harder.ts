import type { PlanInput } from './plan-input.ts'

/**
 * Whether one cable has only become harder to plan from one works to the next: the same orders and the same stock, but for
 * faults that were found and drums that are held. What was proven of every plan then still holds for every plan.
 */
export function onlyHarder(before: PlanInput, after: PlanInput, cable: string): boolean {
  if (!same(hallOf(before), hallOf(after))) return false
  const typeOf = (input: PlanInput) => input.cables.filter((c) => c.cable === cable)
  const ordersOf = (input: PlanInput) => input.orders.filter((o) => o.cable === cable)
  if (!same(typeOf(before), typeOf(after)) || !same(ordersOf(before), ordersOf(after))) return false
  const drumsBefore = new Map(before.drums.map((d) => [d.drum, d]))
  const drums = after.drums.filter((d) => d.cable === cable)
  for (const drum of drums) {
    const known = drumsBefore.get(drum.drum)
    if (!known || !same({ ...known, status: '' }, { ...drum, status: '' })) return false
    if (known.status !== 'free' && drum.status === 'free') return false
  }
  const ids = new Set(drums.map((d) => d.drum))
  const marksOf = (input: PlanInput) => input.marks.filter((m) => ids.has(m.drum))
  if (!same(marksOf(before), marksOf(after))) return false
  const faults = new Map(after.faults.map((f) => [f.fault, f]))
  return before.faults.every((f) => !ids.has(f.drum) || same(faults.get(f.fault), f))
}

function hallOf({ site, benchHall, markets, costs, connectors, putups }: PlanInput): object {
  return { site, benchHall, markets, costs, connectors, putups }
}

function same(a: unknown, b: unknown): boolean {
  return a === b || JSON.stringify(a) === JSON.stringify(b)
}
