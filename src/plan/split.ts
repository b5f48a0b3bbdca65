import type { MicroEur } from '../quantity/money.ts'
import { type Branching, type Count, countKey, withCount, withDrum, withLot, withPutup } from './branching.ts'
import { countOf } from './count-rows.ts'
import type { DrumModel } from './drum-model.ts'
import type { TypeInstance } from './instance.ts'
import type { Column } from './master.ts'

/** A way to split a node in two, and a guess at what the mixture saves that no whole plan could. */
export interface Split {
  leakMicro: MicroEur
  branches: [Branching, Branching]
}

const WHOLE = 0.02
/** A wind-off is work worth about this: only to weigh one branching against another. */
const WIND_OFF_MICRO = 20_000_000
/** Share of a piece's material that a split on it is guessed to bring to light. */
const PIECE_SHARE = 0.02
const LOT_MICRO = 10_000_000

/** What the mixture of the program does, and where it can be split, the most promising first. */
export function splitsOf(
  instance: TypeInstance,
  branching: Branching,
  columns: Column[],
  values: Float64Array,
  lots: Map<string, number>,
): Split[] {
  const used = columns.flatMap((column, c) => {
    const x = values[c] ?? 0 // columns added since have no value yet
    return x > 1e-7 ? [{ column, x }] : []
  })
  const mixture = { used, instance, branching }
  const splits: Split[] = []
  const mounts = instance.drums.map((d) => Math.min(...d.places.map((p) => p.mountMicro)))
  const changes = instance.drums.map((d) => Math.max(...d.places.map((p) => p.changeMicro)))
  const putups = new Set(instance.items.flatMap((i) => i.options.map((o) => o.group)))
  pushCount(splits, mixture, { drum: null, what: 'mounted', number: 0 }, Math.max(...mounts))
  for (const [key, share] of lots)
    if (share > WHOLE && share < 1 - WHOLE)
      splits.push({
        leakMicro: Math.min(share, 1 - share) * LOT_MICRO,
        branches: [withLot(branching, key, true), withLot(branching, key, false)],
      })
  for (const [d, model] of instance.drums.entries()) {
    if (branching.drums[d]!.mounted === false) continue
    const own = used.filter((u) => u.column.drum === d)
    if (own.length === 0) continue
    const split = splitOfDrum(model, branching, d, own)
    if (split) splits.push(split)
    for (const number of putups) {
      const share = own.reduce((sum, u) => sum + (u.column.putups.has(number) ? u.x : 0), 0)
      if (share > WHOLE && share < 1 - WHOLE)
        splits.push({
          leakMicro: Math.min(share, 1 - share) * changes[d]!,
          branches: [withPutup(branching, d, number, true), withPutup(branching, d, number, false)],
        })
    }
    for (const item of instance.items)
      if (!item.split && !item.loose)
        pushCount(
          splits,
          { ...mixture, used: own },
          { drum: d, what: 'item', number: item.index },
          item.creditMicro * PIECE_SHARE,
        )
  }
  return splits.sort((a, b) => b.leakMicro - a.leakMicro)
}

interface Used {
  column: Column
  x: number
}

function pushCount(
  splits: Split[],
  { used, branching }: { used: Used[]; branching: Branching },
  count: Count,
  worthMicro: MicroEur,
): void {
  const sum = used.reduce((s, u) => s + u.x * countOf(count, u.column), 0)
  const down = Math.floor(sum + 1e-6)
  const part = sum - down
  if (part < WHOLE || part > 1 - WHOLE) return
  const known = branching.counts.get(countKey(count))
  if (known && (known.least > down || known.most <= down)) return
  splits.push({
    leakMicro: Math.min(part, 1 - part) * worthMicro,
    branches: [
      withCount(branching, count, 0, down),
      withCount(branching, count, down + 1, Number.POSITIVE_INFINITY),
    ],
  })
}

/** Splits a drum on being mounted, on a wind-off, or on how much stays on it. */
function splitOfDrum(model: DrumModel, branching: Branching, d: number, own: Used[]): Split | null {
  const branch = branching.drums[d]!
  let used = 0
  let restUm = 0
  let woundOff = 0
  let restWorthMicro = 0
  for (const { column, x } of own) {
    used += x
    restUm += x * column.restUm
    woundOff += column.woundOff ? x : 0
    restWorthMicro += x * worthOfRest(model, column.restUm)
  }
  if (branch.mounted === null && used < 1 - WHOLE) {
    // a share of a mounting saved, and a share of the drum kept whole
    const mount = Math.min(...model.places.map((p) => p.mountMicro))
    const wholeRest = restUm + (1 - used) * model.usable.good.toUm
    const kept = restWorthMicro + (1 - used) * model.valueBeforeMicro - worthOfRest(model, wholeRest)
    return {
      leakMicro: (1 - used) * mount + kept,
      branches: [withDrum(branching, d, { mounted: true }), withDrum(branching, d, { mounted: false })],
    }
  }
  const share = woundOff / used
  if (branch.woundOff === null && share > WHOLE && share < 1 - WHOLE)
    return {
      leakMicro: Math.min(share, 1 - share) * WIND_OFF_MICRO,
      branches: [withDrum(branching, d, { woundOff: true }), withDrum(branching, d, { woundOff: false })],
    }
  const meanUm = Math.round(restUm / used)
  const { range } = branch
  const { leastUm, mostUm } = range
  if (meanUm <= leastUm || meanUm >= mostUm) return null
  return {
    leakMicro: restWorthMicro / used - worthOfRest(model, meanUm),
    branches: [
      withDrum(branching, d, { range: { ...range, mostUm: meanUm } }),
      withDrum(branching, d, { range: { ...range, leastUm: meanUm + 1 } }),
    ],
  }
}

function worthOfRest(model: DrumModel, restUm: number): MicroEur {
  return model.keptFromMicro(Math.round(model.usable.good.toUm - restUm))
}
