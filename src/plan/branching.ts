import { ANY_REST, type RestRange } from './rest-worth.ts'

/** What branching asks of one drum. */
export interface DrumBranch {
  mounted: boolean | null
  /** Whether something is wound off it. */
  woundOff: boolean | null
  range: RestRange
  /** Put-ups, by number, that its pieces are on, or are not. */
  putups: ReadonlyMap<number, boolean>
}

/** Something counted over the fillings of one drum, or of all drums where `drum` is null. */
export interface Count {
  drum: number | null
  what: 'mounted' | 'item'
  /** Number of the item; 0 for mountings. */
  number: number
}

/** A count that is held between two whole numbers. */
export interface CountLimit extends Count {
  least: number
  most: number
}

/** What one node of the tree asks for. */
export interface Branching {
  drums: DrumBranch[]
  counts: ReadonlyMap<string, CountLimit>
  /** By `group:lot`: the lot group is served from this lot, or is not. */
  lots: ReadonlyMap<string, boolean>
}

const FREE_DRUM: DrumBranch = { mounted: null, woundOff: null, range: ANY_REST, putups: new Map() }

export function freeBranching(drums: number): Branching {
  return { drums: Array.from({ length: drums }, () => FREE_DRUM), counts: new Map(), lots: new Map() }
}

export function countKey({ drum, what, number }: Count): string {
  return `${drum ?? '*'}:${what}:${number}`
}

/** The same with one drum's branch changed. */
export function withDrum(branching: Branching, drum: number, change: Partial<DrumBranch>): Branching {
  return {
    ...branching,
    drums: branching.drums.map((b, d) => (d === drum ? { ...b, ...change } : b)),
  }
}

/** The same with the pieces of a drum on a put-up, or not. */
export function withPutup(branching: Branching, drum: number, putup: number, used: boolean): Branching {
  const branch = branching.drums[drum]!
  const putups = new Map(branch.putups).set(putup, used)
  return withDrum(branching, drum, used ? { putups, mounted: true } : { putups })
}

/** The same with a count held within narrower limits. */
export function withCount(branching: Branching, count: Count, least: number, most: number): Branching {
  const key = countKey(count)
  const known = branching.counts.get(key)
  const limit = {
    ...count,
    least: Math.max(least, known?.least ?? 0),
    most: Math.min(most, known?.most ?? Number.POSITIVE_INFINITY),
  }
  return { ...branching, counts: new Map(branching.counts).set(key, limit) }
}

/** The same with a lot group, as `group:lot`, served from a lot or not. */
export function withLot(branching: Branching, key: string, chosen: boolean): Branching {
  return { ...branching, lots: new Map(branching.lots).set(key, chosen) }
}
