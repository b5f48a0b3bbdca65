/** A bench place. benches.json `benches`. */
export interface Bench {
  id: string
  kind: string
  can: string[]
  interfaces: string[]
  rateEurH: number
}

/** Someone who works in the hall. benches.json `people`. */
export interface Person {
  id: string
  role: string
  /** Ids of lines, oven or benches the person may run; `B5:pack` = only that task. */
  skills: string[]
}

/** benches.json. */
export interface BenchHall {
  benches: Bench[]
  people: Person[]
  shifts: { line: string[]; bench: string[]; breaksMin: number }
}
