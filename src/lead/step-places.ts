import type { Bench, BenchHall } from '../hall/bench.ts'

/** Bench places that can do a task, for an interface where it is one that needs tooling; the cheapest first. */
export function benchesFor(hall: BenchHall, task: string, connection: string | null): Bench[] {
  return hall.benches
    .filter(
      ({ can, interfaces }) =>
        can.includes(task) &&
        (connection === null || interfaces.length === 0 || interfaces.includes(connection)),
    )
    .sort((a, b) => a.rateEurH - b.rateEurH)
}
